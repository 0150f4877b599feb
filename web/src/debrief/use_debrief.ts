import { useMemo } from "preact/hooks";
import type { DebriefDocument } from "../api/generated";
import * as service from "../api/service";
import { type Asked, useAsked } from "../api/use_asked";
import type { GivenFile } from "../flight/given_files";

/** A track as a recorder wrote it. It stays in the page: the address bar has no room for it. */
export interface Track extends GivenFile {
  /** Which flight of it, from 1; null where it has but one. */
  readonly flight: number | null;
}

export type Debriefing = Asked<DebriefDocument>;

/** Lays the track against the card of the flight that is planned; anew when either changes. */
export function useDebrief(flown: service.CardFlown | null, track: Track | null): Debriefing {
  const question = useMemo(() => flown && track && { ...flown, track: track.text, ...(track.flight === null ? {} : { flight_of_track: track.flight }) }, [flown, track]);
  return useAsked(question, service.debrief);
}
