import { clock_of } from "../flight/clock";

/** What of the axis is seen: nautical miles or seconds from the beginning of the flight. */
export interface Span {
  readonly begins: number;
  readonly ends: number;
}

/** From a place on the axis to pixels and back. */
export class Scale {
  constructor(
    readonly span: Span,
    readonly left_px: number,
    readonly right_px: number,
  ) {}

  get px_per_unit(): number {
    return (this.right_px - this.left_px) / (this.span.ends - this.span.begins);
  }

  px(at: number): number {
    return this.left_px + (at - this.span.begins) * this.px_per_unit;
  }

  at(px: number): number {
    return this.span.begins + (px - this.left_px) / this.px_per_unit;
  }
}

/** Narrower (factor above 1) or wider about a place that stays where it is, never beyond the whole nor below the least. */
export function zoomed(span: Span, about: number, factor: number, whole: Span, least: number): Span {
  const longest = whole.ends - whole.begins;
  const length = Math.min(longest, Math.max(Math.min(least, longest), (span.ends - span.begins) / factor));
  const share = (about - span.begins) / (span.ends - span.begins);
  return held_within({ begins: about - share * length, ends: about + (1 - share) * length }, whole);
}

/**
 * What is seen when two places are held by two fingers that stand at these pixels now: each place stays under its finger, and where that would be
 * nearer than the least or farther than the whole, the middle of the two under theirs.
 */
export function pinched(scale: Scale, held: readonly [number, number], fingers_px: readonly [number, number], whole: Span, least: number): Span {
  const apart_px = (fingers_px[1] - fingers_px[0]) * Math.sign(held[1] - held[0]);
  if (apart_px < 10) return scale.span;
  const longest = whole.ends - whole.begins;
  const width_px = scale.right_px - scale.left_px;
  const length = Math.min(longest, Math.max(Math.min(least, longest), (width_px * Math.abs(held[1] - held[0])) / apart_px));
  const middle_share = ((fingers_px[0] + fingers_px[1]) / 2 - scale.left_px) / width_px;
  const begins = (held[0] + held[1]) / 2 - middle_share * length;
  return held_within({ begins, ends: begins + length }, whole);
}

export function moved(span: Span, by: number, whole: Span): Span {
  return held_within({ begins: span.begins + by, ends: span.ends + by }, whole);
}

/** Moved just so far that the place is seen, with a margin of a twentieth. */
export function brought_into_view(span: Span, at: number, whole: Span): Span {
  const margin = (span.ends - span.begins) / 20;
  if (at < span.begins) return moved(span, at - margin - span.begins, whole);
  if (at > span.ends) return moved(span, at + margin - span.ends, whole);
  return span;
}

/** What is kept of a flight may have been rounded a little beyond its end, or be of another; null is the whole. */
export const span_of = (kept: Span | null, whole: Span): Span => (kept ? held_within(kept, whole) : whole);

function held_within(span: Span, whole: Span): Span {
  const length = Math.min(span.ends - span.begins, whole.ends - whole.begins);
  const begins = Math.min(whole.ends - length, Math.max(whole.begins, span.begins));
  return { begins, ends: begins + length };
}

const mile_steps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
const second_steps = [5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200];

export interface Tick {
  readonly at: number;
  readonly says: string;
}

/** Round places of the axis, at least so many pixels apart. */
export function ticks(scale: Scale, of: "distance" | "time", least_px = 70): Tick[] {
  const steps = of === "time" ? second_steps : mile_steps;
  const step = steps.find((candidate) => candidate * scale.px_per_unit >= least_px) ?? steps.at(-1)!;
  const found: Tick[] = [];
  for (let count = Math.ceil(scale.span.begins / step - 1e-9); count * step <= scale.span.ends + 1e-9; ++count) {
    const at = count * step;
    found.push({ at, says: of === "time" ? clock_of(at) : String(Number(at.toFixed(1))) });
  }
  return found;
}
