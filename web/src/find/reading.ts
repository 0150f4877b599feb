/** What can be read of a station in the cockpit, each with its words for the service and for a person. */
export const kinds = {
  vor: { says: "VOR radial", option: "--vor", value: "radial" },
  "vor-to": { says: "VOR course, TO", option: "--vor", value: "course" },
  "vor-from": { says: "VOR course, FROM", option: "--vor", value: "course" },
  dme: { says: "DME distance", option: "--dme", value: "NM" },
  ndb: { says: "NDB bearing to it", option: "--ndb", value: "magnetic" },
  "ndb-nose": { says: "NDB from the nose", option: "--ndb", value: "relative" },
  loc: { says: "localizer needle", option: "--loc", value: "needle" },
  over: { says: "over it", option: "--over", value: null },
  silent: { says: "not heard", option: "--silent", value: null },
  "silent-dme": { says: "DME not heard", option: "--silent", value: null },
} as const;

export type Kind = keyof typeof kinds;
export const kind_names = Object.keys(kinds) as Kind[];
export const needles = ["left", "centred", "right"] as const;

/** One reading as it was typed. The service understands it, and says where it does not. */
export interface Reading {
  readonly kind: Kind;
  /** Ident, frequency, or the Morse that is heard. */
  readonly station: string;
  /** Figures or a needle's side; empty where the kind has none. */
  readonly value: string;
  /** Minutes before now, or a time in UTC; empty: now. */
  readonly time: string;
}

const value_words: Partial<Record<Kind, (value: string) => string>> = {
  "vor-to": (value) => `=${value}TO`,
  "vor-from": (value) => `=${value}FROM`,
  "ndb-nose": (value) => `=R${value}`,
  over: () => "",
  silent: () => "",
  "silent-dme": () => "/dme",
};

/** When it was, behind it: in the words of the command, and in the address bar. */
const time_word = (time: string) => (time === "" ? "" : time.includes(":") ? `@${time}` : `@-${time}`);
const address_time = (time: string) => (time === "" ? "" : `@${time}`);

/** The reading in the words of `omniway find`. */
export function words_of(reading: Reading): [option: string, word: string] {
  const value = (value_words[reading.kind] ?? ((of: string) => `=${of}`))(reading.value);
  return [kinds[reading.kind].option, `${reading.station}${value}${time_word(reading.time)}`];
}

/** The reading as the address bar has it: vor:XTE:264, and when it was read as vor:XTE:264@6. */
export function address_word(reading: Reading): string {
  const value = kinds[reading.kind].value === null ? "" : `:${reading.value}`;
  return `${reading.kind}:${reading.station}${value}${address_time(reading.time)}`;
}

export function reading_of(word: string): Reading | null {
  const found = /^([a-z-]+):([^:@]+)(?::([^:@]*))?(?:@([\d:.]+))?$/.exec(word);
  const kind = kind_names.find((one) => one === found?.[1]);
  if (!found || !kind) return null;
  return { kind, station: found[2]!, value: found[3] ?? "", time: found[4] ?? "" };
}

/** Where one last knew to be: what was typed, as far as it was. */
export interface LastKnown {
  /** A point, a point with bearing and distance, or coordinates; empty where none is known. */
  readonly place: string;
  /** Minutes before now, or a time in UTC; empty: now. */
  readonly time: string;
  /** How well it was known: NM, 95 %; empty: as the service takes it. */
  readonly within: string;
}

/** What is known beside the readings, each as it was typed; empty where it is not known. */
export interface Known {
  /** Above sea level in feet; nothing is asked before it is given. */
  readonly height: string;
  /** Magnetic, held all along. */
  readonly heading: string;
  /** True, in knots. */
  readonly airspeed: string;
  /** On board, in pounds. */
  readonly fuel: string;
  readonly last: LastKnown;
}

/** Where one is, as a person asks for it. */
export interface FindAsked extends Known {
  readonly readings: readonly Reading[];
  /** Somewhere on the way of the flight that is planned. */
  readonly on_card: boolean;
}

const last_unknown: LastKnown = { place: "", time: "", within: "" };
export const nothing_read: FindAsked = { readings: [], height: "", heading: "", airspeed: "", fuel: "", last: last_unknown, on_card: false };

/** Whether there is anything to tell the place by. */
export const tells_place = (asked: FindAsked): boolean => asked.readings.length > 0 || asked.last.place !== "";

/** What is known beside the readings in the words of `omniway find`. */
export function words_of_known({ height, heading, airspeed, fuel, last }: Known): string[] {
  const given = (option: string, word: string) => (word === "" ? [] : [option, word]);
  return [
    ...given("--altitude", height),
    ...given("--heading", heading),
    ...given("--airspeed", airspeed),
    ...given("--fuel", fuel),
    ...(last.place === "" ? [] : ["--last", last.place + time_word(last.time), ...given("--last-within", last.within)]),
  ];
}

const when_says = (time: string): string => (time === "" ? "" : time.includes(":") ? `at ${time}` : `${time} min ago`);

/** A reading, as it was typed. */
export function reading_says(reading: Reading): string {
  const figure = reading.value && (reading.kind === "dme" ? `${reading.value} NM` : reading.value);
  return [kinds[reading.kind].says, reading.station, figure, when_says(reading.time)].filter((part) => part !== "").join(" ");
}

/** What is known beside the readings, as it was typed. */
export function known_says({ height, heading, airspeed, fuel, last }: Known): string[] {
  const given = (figure: string, says: string) => (figure === "" ? [] : [says]);
  return [
    ...given(height, `${height} ft`),
    ...given(heading, `heading ${heading}`),
    ...given(airspeed, `${airspeed} kt true`),
    ...given(fuel, `${fuel} lb left`),
    ...given(last.place, ["last known:", last.place, when_says(last.time), last.within && `within ${last.within} NM`].filter((part) => part !== "").join(" ")),
  ];
}

/** The last known place as the address bar has it: XTE@25, or XTE090012 where it was so now. */
function last_of(word: string | null, within: string): LastKnown {
  const found = /^([^@]+)(?:@([\d:.]+))?$/.exec(word ?? "");
  return found ? { place: found[1]!, time: found[2] ?? "", within } : last_unknown;
}

export function find_of(words: URLSearchParams): FindAsked {
  const figure = (name: string, as: RegExp) => (as.test(words.get(name) ?? "") ? words.get(name)! : "");
  const whole = /^\d{1,5}$/;
  return {
    readings: words
      .getAll("reading")
      .map(reading_of)
      .filter((reading) => reading !== null),
    height: figure("height", whole),
    heading: figure("heading", whole),
    airspeed: figure("airspeed", whole),
    fuel: figure("fuel", whole),
    last: last_of(words.get("last"), figure("last-within", /^\d{1,3}(\.\d)?$/)),
    on_card: words.has("on-card"),
  };
}

export function words_of_find(asked: FindAsked): Array<readonly [name: string, value: string]> {
  const { last } = asked;
  const given = (name: string, value: string) => (value === "" ? [] : [[name, value] as const]);
  return [
    ...asked.readings.map((reading) => ["reading", address_word(reading)] as const),
    ...given("height", asked.height),
    ...given("heading", asked.heading),
    ...given("airspeed", asked.airspeed),
    ...given("fuel", asked.fuel),
    ...(last.place === "" ? [] : [["last", last.place + address_time(last.time)] as const, ...given("last-within", last.within)]),
    ...(asked.on_card ? [["on-card", ""] as const] : []),
  ];
}
