import type { JudgeDocument, JudgeFinding } from "../api/generated";
import type { Problem } from "../api/service";
import { type HandRoute, part_of_word, text_of, word_at_column } from "./hand_route";

/** What is said of one part of a route: a finding of the judge, or why the route could not be read. */
export interface Said {
  readonly grade: JudgeFinding["grade"] | "error";
  readonly text: string;
  readonly about: string;
  readonly remedy: string;
  readonly step: number | null;
}

const of_finding = (finding: JudgeFinding): Said => ({ grade: finding.grade, text: finding.text, about: finding.about, remedy: finding.remedy ?? "", step: finding.step });

// Speeds and levels may be written in another way, words and their number stay.
const is_same_route = (given: string, text: string) => {
  const [one, other] = [given.split(" "), text.split(" ")];
  return one.length === other.length && one.every((word, index) => word.split("/")[0] === other[index]!.split("/")[0] || /^[KNM]\d/.test(word));
};

/**
 * By the part of the route it stands at (hand_route.ts, part_of_word), what the judge found there; under null what belongs to no word. A judgement of
 * another route than this is passed over.
 */
export function said_by_part(route: HandRoute, judged: JudgeDocument | null, problem: Problem | null): Map<number | null, Said[]> {
  const parts = new Map<number | null, Said[]>();
  const add = (part: number | null, said: Said) => parts.set(part, [...(parts.get(part) ?? []), said]);
  const text = text_of(route);
  for (const error of problem?.errors ?? []) {
    const column = /route:1:(\d+)$/i.exec(error.where)?.[1];
    add(column ? part_of_word(route, word_at_column(text, Number(column))) : null, { grade: "error", text: error.message, about: "", remedy: "", step: null });
  }
  if (!judged || !is_same_route(judged.route_given, text)) return parts;
  for (const finding of judged.findings) add(finding.word === null ? null : part_of_word(route, finding.word), of_finding(finding));
  return parts;
}
