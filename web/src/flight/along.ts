import type { PanelSample, RibbonDocument, RibbonStep, TrackPoint } from "../api/pictures";
import type { Axis } from "./address";

type Along = Pick<TrackPoint, "at_nm" | "at_s">;

/** The last of the points that is not later; the first where all are. The points stand in order of the flight. */
export function last_at<Point extends { readonly at_s: number }>(points: readonly Point[], at_s: number): Point | undefined {
  let low = 0;
  let high = points.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (points[middle]!.at_s <= at_s) low = middle;
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
    if (points[middle]![known] < value) low = middle;
    else high = middle;
  }
  const [before, after] = [points[low]!, points[high]!];
  const length = after[known] - before[known];
  const share = length > 0 ? Math.min(1, Math.max(0, (value - before[known]) / length)) : 0;
  return before[wanted] + share * (after[wanted] - before[wanted]);
}

/**
 * The line of a flight, missed approach and all, with what is needed to find a place on it. The clock tells a place; the distance does
 * not quite, as in a hold time passes alone: there the earliest moment stands for the distance.
 */
export class Line {
  readonly points: readonly TrackPoint[];

  constructor(ribbon: Pick<RibbonDocument, "track" | "missed_track">) {
    this.points = [...ribbon.track, ...ribbon.missed_track];
  }

  /** The service's own points, and straight lines between them. */
  seconds_at(at_nm: number): number {
    return between(this.points, "at_nm", "at_s", at_nm);
  }

  miles_at(at_s: number): number {
    return between(this.points, "at_s", "at_nm", at_s);
  }

  on_axis(axis: Axis, at_s: number): number {
    return axis === "time" ? at_s : this.miles_at(at_s);
  }

  off_axis(axis: Axis, at: number): number {
    return axis === "time" ? at : this.seconds_at(at);
  }
}

/** The step that is flown then. */
export const step_at = (steps: readonly RibbonStep[], at_s: number): RibbonStep | undefined => steps.findLast((step) => step.begins_s <= at_s + 0.05) ?? steps[0];

/** With a moment to either side: what is rounded in one document must not fall off its step in another. */
export const is_on = (step: RibbonStep, at_s: number): boolean => at_s >= step.begins_s - 0.1 && at_s <= step.ends_s + 0.1;

export const sample_at = (samples: readonly PanelSample[], at_s: number): PanelSample | undefined => last_at(samples, at_s);
