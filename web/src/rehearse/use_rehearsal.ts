import { useEffect, useMemo, useState } from "preact/hooks";
import type { RehearseDocument } from "../api/generated";
import * as service from "../api/service";
import { errors_text, type RehearsalAsked } from "./rehearsal_asked";

/** What has been heard of a rehearsal so far. */
export interface Rehearsing {
  readonly found: RehearseDocument | null;
  /** While it is flown; null before and after. */
  readonly progress: service.Progress | null;
  readonly problem: service.Problem | null;
}

const nothing: Rehearsing = { found: null, progress: null, problem: null };

/** Has the flight of the card rehearsed as asked. With another question, or none, what is under way is given up: its connection closes. */
export function useRehearsal(flown: service.CardFlown | null, asked: RehearsalAsked | null): Rehearsing {
  const [rehearsing, set_rehearsing] = useState<Rehearsing>(nothing);
  const question = useMemo(() => flown && asked && { ...asked, errors: errors_text(asked.errors), ...flown }, [flown, asked]);
  useEffect(() => {
    if (!question) return set_rehearsing(nothing);
    const cancel = new AbortController();
    set_rehearsing({ ...nothing, progress: { stage: "", share: 0 } });
    service
      .rehearse(question, cancel.signal, (progress) => set_rehearsing({ ...nothing, progress }))
      .then(
        (found) => set_rehearsing({ ...nothing, found }),
        (fault: unknown) => {
          if (!cancel.signal.aborted) set_rehearsing({ ...nothing, problem: service.problem_of(fault) });
        },
      );
    return () => cancel.abort();
  }, [question]);
  return rehearsing;
}
