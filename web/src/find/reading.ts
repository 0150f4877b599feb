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

/** The reading in the words of `omniway find`. */
export function words_of(reading: Reading): [option: string, word: string] {
  const value = (value_words[reading.kind] ?? ((of: string) => `=${of}`))(reading.value);
  const time = reading.time === "" ? "" : reading.time.includes(":") ? `@${reading.time}` : `@-${reading.time}`;
  return [kinds[reading.kind].option, `${reading.station}${value}${time}`];
}

/** The reading as the address bar has it: vor:XTE:264, and when it was read as vor:XTE:264@6. */
export function address_word(reading: Reading): string {
  const value = kinds[reading.kind].value === null ? "" : `:${reading.value}`;
  return `${reading.kind}:${reading.station}${value}${reading.time === "" ? "" : `@${reading.time}`}`;
}

export function reading_of(word: string): Reading | null {
  const found = /^([a-z-]+):([^:@]+)(?::([^:@]*))?(?:@([\d:.]+))?$/.exec(word);
  const kind = kind_names.find((one) => one === found?.[1]);
  if (!found || !kind) return null;
  return { kind, station: found[2]!, value: found[3] ?? "", time: found[4] ?? "" };
}

/** Where one is, as a person asks for it. */
export interface FindAsked {
  readonly readings: readonly Reading[];
  /** Above sea level in feet; empty until it is given, and nothing is asked before. */
  readonly height: string;
  /** Magnetic, held all along; empty where it is not known. */
  readonly heading: string;
  /** Somewhere on the way of the flight that is planned. */
  readonly on_card: boolean;
}

export const nothing_read: FindAsked = { readings: [], height: "", heading: "", on_card: false };

export function find_of(words: URLSearchParams): FindAsked {
  const digits = (name: string) => (/^\d{1,5}$/.test(words.get(name) ?? "") ? words.get(name)! : "");
  return {
    readings: words
      .getAll("reading")
      .map(reading_of)
      .filter((reading) => reading !== null),
    height: digits("height"),
    heading: digits("heading"),
    on_card: words.has("on-card"),
  };
}

export function words_of_find(asked: FindAsked): Array<readonly [name: string, value: string]> {
  return [
    ...asked.readings.map((reading) => ["reading", address_word(reading)] as const),
    ...(asked.height === "" ? [] : [["height", asked.height] as const]),
    ...(asked.heading === "" ? [] : [["heading", asked.heading] as const]),
    ...(asked.on_card ? [["on-card", ""] as const] : []),
  ];
}
