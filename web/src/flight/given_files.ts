import type { PlanQuestion } from "../api/service";

/** A file that was chosen, as text. */
export interface GivenFile {
  readonly name: string;
  readonly text: string;
}

/** What may be given as a file with the question. */
export type KindOfFile = "aircraft" | "minima" | "winds_bulletin";
export type GivenFiles = Readonly<Record<KindOfFile, GivenFile | null>>;
/** What the address bar keeps of them: it has no room for what stands in them. */
export type GivenNames = Readonly<Record<KindOfFile, string | null>>;
export const no_names: GivenNames = { aircraft: null, minima: null, winds_bulletin: null };

/** Each with the option of the command that takes it, and the word of the address bar that names it. */
export const kinds_of_file: readonly { readonly kind: KindOfFile; readonly option: string; readonly word: string; readonly label: string; readonly accept: string }[] = [
  { kind: "aircraft", option: "aircraft", word: "aircraft-file", label: "Aircraft of your own (TOML)", accept: ".toml,.txt" },
  { kind: "minima", option: "minima", word: "minima-file", label: "Minima of your charts (CSV)", accept: ".csv,.txt" },
  { kind: "winds_bulletin", option: "winds-file", word: "winds-file", label: "Bulletin of winds aloft (text)", accept: ".txt" },
];

const of_kinds = <Value>(value: (each: (typeof kinds_of_file)[number]) => Value): Readonly<Record<KindOfFile, Value>> =>
  Object.fromEntries(kinds_of_file.map((each) => [each.kind, value(each)])) as Readonly<Record<KindOfFile, Value>>;

export const names_of = (files: GivenFiles): GivenNames => of_kinds(({ kind }) => files[kind]?.name ?? null);

/** A name in the address bar that is none of a file is as if it were not there. */
export const names_at = (text_at: (word: string) => string | null): GivenNames => of_kinds(({ word }) => /^[^/\\]{1,255}$/.exec(text_at(word) ?? "")?.[0] ?? null);

/** The files of those names, as far as they are at hand, and what is missing. */
export function files_of(names: GivenNames, text_of: (kind: KindOfFile, name: string) => string | null): { readonly files: GivenFiles; readonly missing: readonly { readonly label: string; readonly name: string }[] } {
  const files = of_kinds(({ kind }) => {
    const name = names[kind];
    const text = name === null ? null : text_of(kind, name);
    return name === null || text === null ? null : { name, text };
  });
  return { files, missing: kinds_of_file.flatMap(({ kind, label }) => (names[kind] !== null && !files[kind] ? [{ label, name: names[kind] }] : [])) };
}

/** The text of a file has lines, by which the service tells it from a name. */
const lines = (text: string) => (text.includes("\n") ? text : `${text}\n`);

/** The question with the texts of the files. Of a bulletin that is not there no station is asked. */
export function with_files(question: PlanQuestion, files: GivenFiles): PlanQuestion {
  const { winds_station, ...rest } = question;
  const { aircraft, minima, winds_bulletin } = files;
  return {
    ...rest,
    ...(aircraft ? { aircraft: lines(aircraft.text) } : {}),
    ...(minima ? { minima: lines(minima.text) } : {}),
    ...(winds_bulletin ? { winds_bulletin: lines(winds_bulletin.text), ...(winds_station ? { winds_station } : {}) } : {}),
  };
}

/** The aircraft of a question where it is the text of a file: a card names it, and whoever asks of the card brings it along. */
export const own_aircraft = (question: { readonly aircraft?: string } | null): { readonly aircraft?: string } =>
  question?.aircraft?.includes("\n") ? { aircraft: question.aircraft } : {};
