import type { HeardSpan, HeightPoint, RibbonDocument, Stretch } from "../api/pictures";
import type { Axis } from "../flight/address";
import { Line } from "../flight/along";
import type { Scale } from "./scale";

/** A ribbon with the axis and scale it is drawn on: from its figures to pixels. */
export class DrawnOn {
  readonly line: Line;

  constructor(
    readonly ribbon: RibbonDocument,
    readonly axis: Axis,
    readonly scale: Scale,
  ) {
    this.line = new Line(ribbon);
  }

  px(at_nm: number): number {
    return this.scale.px(this.axis === "time" ? this.line.seconds_at(at_nm) : at_nm);
  }

  begins_px(stretch: Stretch): number {
    return this.scale.px(this.axis === "time" ? stretch.begins_s : stretch.begins_nm);
  }

  ends_px(stretch: Stretch): number {
    return this.scale.px(this.axis === "time" ? stretch.ends_s : stretch.ends_nm);
  }

  at_px(point: { readonly at_nm: number; readonly at_s: number }): number {
    return this.scale.px(this.axis === "time" ? point.at_s : point.at_nm);
  }

  at_seconds_px(at_s: number): number {
    return this.scale.px(this.axis === "time" ? at_s : this.line.miles_at(at_s));
  }

  /** What of a stretch is seen, or null. */
  seen(stretch: Stretch): { readonly left: number; readonly right: number } | null {
    const left = Math.max(this.scale.left_px, this.begins_px(stretch));
    const right = Math.min(this.scale.right_px, this.ends_px(stretch));
    return right >= left ? { left, right } : null;
  }

  /** Where along a bar its margins lie, as shares of its length. */
  margin_stops(span: HeardSpan): Array<{ readonly offset: number; readonly share: number }> {
    const [begins, ends] = [this.begins_px(span), this.ends_px(span)];
    const length = Math.max(1e-6, ends - begins);
    return span.margins.map(({ at_nm, strength_share }) => ({
      offset: Math.min(1, Math.max(0, (this.px(at_nm) - begins) / length)),
      share: strength_share,
    }));
  }
}

/** The corners of a line that stays where it is until the next point: a minimum holds to the end of its stretch. */
export function stairs(points: ReadonlyArray<readonly [number, number]>): string {
  return points.map(([x, y], index) => (index === 0 ? `M${x.toFixed(1)},${y.toFixed(1)}` : `H${x.toFixed(1)}V${y.toFixed(1)}`)).join("");
}

export const slopes = (points: ReadonlyArray<readonly [number, number]>): string =>
  points.map(([x, y], index) => `${index === 0 ? "M" : "L"}${x.toFixed(1)},${y.toFixed(1)}`).join("");

/** Unbroken runs of points that have a figure: where it is unknown the line stops, it does not fall to zero. */
export function known_runs(heights: readonly HeightPoint[], of: "minimum_msl_ft" | "ground_msl_ft"): HeightPoint[][] {
  const runs: HeightPoint[][] = [];
  let run: HeightPoint[] = [];
  for (const point of heights) {
    if (point[of] !== null) run.push(point);
    else if (run.length > 0) {
      runs.push(run);
      run = [];
    }
  }
  if (run.length > 0) runs.push(run);
  return runs;
}
