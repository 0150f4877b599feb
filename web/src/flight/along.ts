import type { PanelSample, RibbonStep, TrackPoint } from "../api/pictures";
import type { Axis } from "./address";

interface Along {
  readonly at_nm: number;
  readonly at_s: number;
}

/** The last of the points that is not beyond; the first where all are. The points stand in order of the flight. */
export function last_at<Point extends { readonly at_nm: number }>(points: readonly Point[], at_nm: number): Point | undefined {
  let low = 0;
  let high = points.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (points[middle]!.at_nm <= at_nm) low = middle;
    else high = middle;
  }
  return points[low];
}

function between(points: readonly Along[], known: keyof Along, wanted: keyof Along, value: number): number {
  let low = 0;
  let high = points.length - 1;
  if (high < 0) return 0;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (points[middle]![known] <= value) low = middle;
    else high = middle;
  }
  const [before, after] = [points[low]!, points[high]!];
  const length = after[known] - before[known];
  const share = length > 0 ? Math.min(1, Math.max(0, (value - before[known]) / length)) : 0;
  return before[wanted] + share * (after[wanted] - before[wanted]);
}

/** The other axis of the same place: the service's own points, and straight lines between them. */
export const seconds_at = (track: readonly TrackPoint[], at_nm: number) => between(track, "at_nm", "at_s", at_nm);
export const miles_at = (track: readonly TrackPoint[], at_s: number) => between(track, "at_s", "at_nm", at_s);

export const on_axis = (track: readonly TrackPoint[], axis: Axis, at_nm: number) => (axis === "time" ? seconds_at(track, at_nm) : at_nm);
export const off_axis = (track: readonly TrackPoint[], axis: Axis, at: number) => (axis === "time" ? miles_at(track, at) : at);

/** The step that is flown there, of those before the missed approach. */
export function step_at(steps: readonly RibbonStep[], at_nm: number): RibbonStep | undefined {
  const flown = steps.filter((step) => !step.missed);
  return flown.findLast((step) => step.begins_nm <= at_nm) ?? flown[0];
}

export const sample_at = (samples: readonly PanelSample[], at_nm: number) => last_at(samples, at_nm);
