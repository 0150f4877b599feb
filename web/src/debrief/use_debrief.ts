import { useEffect, useMemo, useState } from "preact/hooks";
import type { CardDocument, DebriefDocument } from "../api/generated";
import * as service from "../api/service";

/** A track as a recorder wrote it. It stays in the page: the address bar has no room for it. */
export interface Track {
  readonly name: string;
  readonly text: string;
  /** Which flight of it, from 1; null where it has but one. */
  readonly flight: number | null;
}

export interface Debriefing {
  readonly found: DebriefDocument | null;
  readonly busy: boolean;
  readonly problem: service.Problem | null;
}

const nothing: Debriefing = { found: null, busy: false, problem: null };

/** Lays the track against the card of the flight that is planned; anew when either changes. */
export function useDebrief(card: CardDocument | null, track: Track | null): Debriefing {
  const [debriefing, set_debriefing] = useState<Debriefing>(nothing);
  const question = useMemo(() => card && track && { card, track: track.text, ...(track.flight === null ? {} : { flight_of_track: track.flight }) }, [card, track]);
  useEffect(() => {
    if (!question) return set_debriefing(nothing);
    const cancel = new AbortController();
    set_debriefing({ ...nothing, busy: true });
    service.debrief(question, cancel.signal).then(
      (found) => set_debriefing({ ...nothing, found }),
      (fault: unknown) => {
        if (!cancel.signal.aborted) set_debriefing({ ...nothing, problem: service.problem_of(fault) });
      },
    );
    return () => cancel.abort();
  }, [question]);
  return debriefing;
}
