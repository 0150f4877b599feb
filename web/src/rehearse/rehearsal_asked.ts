/** What is drawn of the errors of the world: as the criteria allow for, nothing, or figures of one's own by their names in an errors file. */
export type ErrorsAsked = "nominal" | "none" | Readonly<Record<string, number>>;

/** A rehearsal as a person asks for it; the flight is the one that is planned. */
export interface RehearsalAsked {
  readonly flights: number;
  readonly seed: number;
  readonly errors: ErrorsAsked;
  /** What fails, in the words of the command: XRG@6, NAV1@30min. */
  readonly fail: readonly string[];
  readonly no_runway: boolean;
}

export const as_usual: RehearsalAsked = { flights: 1000, seed: 1, errors: "nominal", fail: [], no_runway: false };

/** The errors as the service takes them: a word, or the text of a file (docs/errors-file.md). */
export function errors_text(errors: ErrorsAsked): string {
  if (typeof errors === "string") return errors;
  return Object.entries(errors)
    .map(([name, value]) => `${name} = ${value}\n`)
    .join("") || "\n";
}

const errors_word = (errors: ErrorsAsked): string =>
  typeof errors === "string"
    ? errors
    : Object.entries(errors)
        .map(([name, value]) => `${name}:${value}`)
        .join(",");

function errors_of(word: string | null): ErrorsAsked {
  if (word === null || word === "nominal") return "nominal";
  if (word === "none") return "none";
  const figures: Record<string, number> = {};
  for (const part of word.split(",")) {
    const found = /^([a-z_]+):(\d+(?:\.\d+)?)$/.exec(part);
    if (found) figures[found[1]!] = Number(found[2]);
  }
  return figures;
}

const whole = (text: string | null): number | null => (text !== null && /^\d{1,15}$/.test(text) ? Number(text) : null);

/** Reads the rehearsal that stands in the address bar; null where none was run. */
export function rehearsal_of(words: URLSearchParams): RehearsalAsked | null {
  const flights = whole(words.get("flights"));
  if (flights === null) return null;
  return {
    flights,
    seed: whole(words.get("seed")) ?? as_usual.seed,
    errors: errors_of(words.get("errors")),
    fail: (words.get("fail") ?? "").split(",").filter((one) => one !== ""),
    no_runway: words.has("no-runway"),
  };
}

/** The words of it in the address bar, without what is as usual. */
export function words_of_rehearsal(asked: RehearsalAsked): Array<readonly [name: string, value: string]> {
  return [
    ["flights", String(asked.flights)],
    ...(asked.seed === as_usual.seed ? [] : [["seed", String(asked.seed)] as const]),
    ...(asked.errors === "nominal" ? [] : [["errors", errors_word(asked.errors)] as const]),
    ...(asked.fail.length > 0 ? [["fail", asked.fail.join(",")] as const] : []),
    ...(asked.no_runway ? [["no-runway", ""] as const] : []),
  ];
}
