import type { DebriefDocument } from "../api/generated";
import type { Place, RibbonStep } from "../api/pictures";
import type { Overlay } from "../chart/overlay";
import type { Deviation } from "../ribbon/deviation_lanes";

type Moment = DebriefDocument["moments"][number];

/** The track on the chart: where nothing was recorded there is no line. */
export function overlay_of(found: DebriefDocument): Overlay {
  const pieces: Place[][] = [];
  for (const { place, after_gap } of found.moments) {
    if (after_gap || pieces.length === 0) pieces.push([]);
    pieces.at(-1)!.push(place);
  }
  return { lines: pieces.filter((places) => places.length > 1).map((places) => ({ places, says: "flown" })), areas: [], marks: [] };
}

/**
 * The moments along the flight that was meant, for the ribbon: each at the share of its step on the ribbon that it was of the time in which the step was flown. So a
 * step begins and ends where it should, however long it took.
 */
export function deviations_of(found: DebriefDocument, steps: readonly RibbonStep[]): Deviation[] {
  const flown = new Map(found.steps.map((step) => [step.number, step]));
  const meant = new Map(steps.map((step) => [step.number, step]));
  const place = (moment: Moment): Deviation | null => {
    const [own, on] = [flown.get(moment.step), meant.get(moment.step)];
    if (!own || !on || own.began_s === null || own.ended_s === null) return null;
    const length_s = own.ended_s - own.began_s;
    const share = length_s > 0 ? Math.min(1, Math.max(0, (moment.time_s - own.began_s) / length_s)) : 0;
    return {
      at_nm: on.begins_nm + share * (on.ends_nm - on.begins_nm),
      at_s: on.begins_s + share * (on.ends_s - on.begins_s),
      aside_nm: moment.aside_nm,
      altitude_msl_ft: moment.altitude_msl_ft,
      primary_nm: null,
      needle_share: moment.needle?.of_full_scale_share ?? null,
    };
  };
  return found.moments.map(place).filter((one) => one !== null);
}
