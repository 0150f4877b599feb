import type { Hearing, ReceiverLane, RibbonDocument } from "../api/pictures";

interface Placed {
  readonly top_px: number;
  readonly height_px: number;
}

/** One station, by its azimuth and by its distance; either may be missing. */
export interface StationLane extends Placed {
  readonly station: string;
  readonly azimuth: Hearing | null;
  readonly distance: Hearing | null;
}

export interface Lanes {
  readonly axis: Placed;
  readonly steps: Placed;
  readonly heard: readonly StationLane[];
  readonly receivers: ReadonlyArray<Placed & { readonly receiver: ReceiverLane }>;
  readonly heights: Placed;
  readonly wind: Placed;
  readonly height_px: number;
  /** How many stations that no set is put on are left out. */
  readonly left_out: number;
}

const axis_px = 22;
const steps_px = 54;
const heard_px = 25;
const receiver_px = 23;
const standby_px = 15;
const heights_px = 92;
const wind_px = 20;
const gap_px = 9;

/** A lane for a station, however many parts of it are heard; those in use first, each in the order the service gives. */
function stations_of(hearing: readonly Hearing[]): Array<Omit<StationLane, keyof Placed> & { used: boolean }> {
  const by_station = new Map<string, { station: string; azimuth: Hearing | null; distance: Hearing | null; used: boolean }>();
  for (const heard of hearing) {
    // The ident alone does not tell a beacon from a VOR of the same name.
    const key = `${heard.station} ${heard.frequency}`;
    const lane = by_station.get(key) ?? { station: heard.station, azimuth: null, distance: null, used: false };
    lane[heard.part] = heard;
    lane.used ||= heard.used;
    by_station.set(key, lane);
  }
  const all = [...by_station.values()];
  return [...all.filter((lane) => lane.used), ...all.filter((lane) => !lane.used)];
}

/** Where each lane lies, from the top. */
export function lanes_of(ribbon: RibbonDocument, show_unused: boolean): Lanes {
  let below_px = 0;
  const place = (height_px: number): Placed => {
    const placed = { top_px: below_px, height_px };
    below_px += height_px;
    return placed;
  };
  const gap = () => void (below_px += gap_px);

  const axis = place(axis_px);
  const steps = place(steps_px);
  gap();
  const stations = stations_of(ribbon.hearing);
  const shown = stations.filter((station) => station.used || show_unused);
  const heard = shown.map(({ used: _, ...station }) => ({ ...place(heard_px), ...station }));
  gap();
  const receivers = ribbon.receivers.map((receiver) => ({
    ...place(receiver_px + (receiver.spans.some((span) => span.role === "standby") ? standby_px : 0)),
    receiver,
  }));
  gap();
  const heights = place(heights_px);
  const wind = place(wind_px);
  return { axis, steps, heard, receivers, heights, wind, height_px: below_px, left_out: stations.length - shown.length };
}
