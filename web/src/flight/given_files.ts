import type { PlanQuestion } from "../api/service";

/** A file that was chosen, as text. */
export interface GivenFile {
  readonly name: string;
  readonly text: string;
}

/** What may be given as a file with the question. They stay in the page: the address bar has no room for them. */
export interface GivenFiles {
  readonly aircraft: GivenFile | null;
  readonly minima: GivenFile | null;
  readonly winds_bulletin: GivenFile | null;
}
export const no_files: GivenFiles = { aircraft: null, minima: null, winds_bulletin: null };

/** Each with the option of the command that takes it. */
export const kinds_of_file: readonly { readonly kind: keyof GivenFiles; readonly option: string; readonly label: string; readonly accept: string }[] = [
  { kind: "aircraft", option: "aircraft", label: "Aircraft of your own (TOML)", accept: ".toml,.txt" },
  { kind: "minima", option: "minima", label: "Minima of your charts (CSV)", accept: ".csv,.txt" },
  { kind: "winds_bulletin", option: "winds-file", label: "Bulletin of winds aloft (text)", accept: ".txt" },
];

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
