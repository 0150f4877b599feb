import type { DrawnOn } from "./drawn_on";
import { slopes } from "./drawn_on";
import type { Lanes } from "./lanes";

/** How a flight was held, abeam places of the one that was meant; null where there is no line, or no needle to see it by. */
export interface Deviation {
  readonly at_nm: number;
  readonly at_s: number;
  readonly aside_nm: number | null;
  readonly primary_nm: number | null;
  readonly needle_share: number | null;
  readonly altitude_msl_ft: number | null;
}

type Figure = Exclude<keyof Deviation, "at_nm" | "at_s">;

/** Unbroken runs of points that have the figure. */
export function runs_of(deviations: readonly Deviation[], figure: Figure): Deviation[][] {
  const runs: Deviation[][] = [[]];
  for (const one of deviations) {
    if (one[figure] !== null) runs.at(-1)!.push(one);
    else if (runs.at(-1)!.length > 0) runs.push([]);
  }
  return runs.filter((run) => run.length > 0);
}

/** Whether it is known what the needle showed all along. */
export const has_needle = (deviations: readonly Deviation[]): boolean => deviations.some((one) => one.needle_share !== null);

/** The farthest that the lane has room for, in whole miles. */
export function widest_nm(deviations: readonly Deviation[]): number {
  return Math.max(1, Math.ceil(deviations.reduce((most, one) => Math.max(most, Math.abs(one.aside_nm ?? 0)), 0)));
}

/** Right of the line is below it, as whoever flies along the ribbon sees it. */
export function DeviationLanes(props: { on: DrawnOn; lanes: NonNullable<Lanes["deviation"]>; deviations: readonly Deviation[] }) {
  const { on, lanes, deviations } = props;
  const most_nm = widest_nm(deviations);
  return (
    <g class="deviation">
      <Deviated on={on} lane={lanes.aside} deviations={deviations} figure="aside_nm" most={most_nm}>
        <Protected on={on} lane={lanes.aside} deviations={deviations} most_nm={most_nm} />
      </Deviated>
      {lanes.needle && <Deviated on={on} lane={lanes.needle} deviations={deviations} figure="needle_share" most={1} />}
    </g>
  );
}

type Lane = NonNullable<Lanes["deviation"]>["aside"];

const middle_px = (lane: Lane) => lane.top_px + lane.height_px / 2;
const px_per_unit = (lane: Lane, most: number) => (lane.height_px / 2 - 4) / most;

function Deviated(props: { on: DrawnOn; lane: Lane; deviations: readonly Deviation[]; figure: Figure; most: number; children?: preact.ComponentChildren }) {
  const { on, lane, deviations, figure, most, children } = props;
  const middle = middle_px(lane);
  const per_unit = px_per_unit(lane, most);
  const { left_px, right_px } = on.scale;
  return (
    <g class={figure === "aside_nm" ? "aside" : "needle"}>
      <path class="limits" d={`M${left_px},${middle - most * per_unit}H${right_px}M${left_px},${middle + most * per_unit}H${right_px}`} />
      {children}
      <line class="line" x1={left_px} x2={right_px} y1={middle} y2={middle} />
      {runs_of(deviations, figure).map((run) => (
        <path class="held" d={slopes(run.map((one) => [on.at_px(one), middle + one[figure]! * per_unit] as const))} />
      ))}
    </g>
  );
}

/** To either side what is protected first, where it is within the lane. */
function Protected(props: { on: DrawnOn; lane: Lane; deviations: readonly Deviation[]; most_nm: number }) {
  const { on, lane, deviations, most_nm } = props;
  const middle = middle_px(lane);
  const per_nm = px_per_unit(lane, most_nm);
  const edge = (run: readonly Deviation[], side: 1 | -1) => run.map((one) => [on.at_px(one), middle + side * Math.min(most_nm, one.primary_nm!) * per_nm] as const);
  return (
    <>
      {runs_of(deviations, "primary_nm").map((run) => (
        <path class="protected" d={`${slopes([...edge(run, -1), ...edge(run, 1).reverse()])}Z`} />
      ))}
    </>
  );
}
