import type { Place } from "../api/pictures";

/** A line that was flown, apart from the one that is planned. */
export interface OverlayLine {
  readonly places: readonly Place[];
  readonly says: string;
}

/** A region where something is with so much certainty: outer rings clockwise, holes the other way round. */
export interface OverlayArea {
  readonly rings: ReadonlyArray<readonly Place[]>;
  readonly within: "half" | "most";
}

export interface OverlayMark {
  readonly place: Place;
  readonly says: string;
}

/** What a view lays over the chart. It is told apart by pattern and label, never by colour alone: lines are hollow, which no line of a route is. */
export interface Overlay {
  readonly lines: readonly OverlayLine[];
  readonly areas: readonly OverlayArea[];
  readonly marks: readonly OverlayMark[];
}

export const no_overlay: Overlay = { lines: [], areas: [], marks: [] };

/** Twice the area a ring goes round on the plane of longitude and latitude, positive where it goes anticlockwise; all that is asked of it is its sign. */
function turn_of(ring: readonly Place[]): number {
  const [first] = ring;
  if (!first) return 0;
  const east = (place: Place) => ((place.longitude_deg - first.longitude_deg + 540) % 360) - 180;
  return ring.reduce((sum, from, index) => {
    const to = ring[(index + 1) % ring.length]!;
    return sum + east(from) * to.latitude_deg - east(to) * from.latitude_deg;
  }, 0);
}

/** Shapes that stand apart, each an outer ring with its holes: a hole comes after the ring that it lies in. */
export function shapes_of(area: OverlayArea): Array<Array<readonly Place[]>> {
  const shapes: Array<Array<readonly Place[]>> = [];
  for (const ring of area.rings) {
    const last = shapes.at(-1);
    if (turn_of(ring) > 0 && last) last.push(ring);
    else shapes.push([ring]);
  }
  return shapes;
}
