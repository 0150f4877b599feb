import { useEffect, useState } from "preact/hooks";
import { type Problem, problem_of } from "./service";

/** What has been said to a question so far. */
export interface Asked<Document> {
  readonly found: Document | null;
  readonly busy: boolean;
  readonly problem: Problem | null;
}

const nothing = { found: null, busy: false, problem: null };

/**
 * Asks when the question changes, and gives up what is under way: its connection closes. Without a question there is no answer. While the next one comes the
 * old answer is gone, or `stands`.
 */
export function useAsked<Question, Document>(
  question: Question | null,
  ask: (question: Question, signal: AbortSignal) => Promise<Document>,
  meanwhile: "gone" | "stands" = "gone",
): Asked<Document> {
  const [asked, set_asked] = useState<Asked<Document>>(nothing);
  useEffect(() => {
    if (question === null) return set_asked(nothing);
    const cancel = new AbortController();
    set_asked((before) => ({ ...(meanwhile === "stands" ? before : nothing), busy: true }));
    ask(question, cancel.signal).then(
      (found) => set_asked({ ...nothing, found }),
      (fault: unknown) => {
        if (!cancel.signal.aborted) set_asked({ ...nothing, problem: problem_of(fault) });
      },
    );
    return () => cancel.abort();
  }, [question]);
  return asked;
}
