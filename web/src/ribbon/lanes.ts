import type { Hearing, ReceiverLane, RibbonDocument } from "../api/pictures";

interface Placed {
  readonly top_px: number;
  readonly height_px: number;
}

/** One station by its parts; any may be missing. */
export interface StationLane extends Placed {
  readonly station: string;
  readonly used: boolean;
  readonly azimuth: Hearing | null;
  readonly distance: Hearing | null;
  readonly glideslope: Hearing | null;
}

export interface Lanes {
  readonly axis: Placed;
  readonly steps: Placed;
  /** How a flight was held that is laid over this one; null where none is. */
  readonly deviation: { readonly aside: Placed; readonly needle: Placed | null } | null;
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
const aside_px = 72;
const needle_px = 44;
const heard_px = 25;
const receiver_px = 23;
const standby_px = 15;
const heights_px = 92;
const wind_px = 20;
const gap_px = 9;

type Station = { -readonly [Name in Exclude<keyof StationLane, keyof Placed | "used">]: StationLane[Name] };

// The ident alone does not tell a beacon from a VOR of the same name.
const key_of = (of: { readonly station: string; readonly frequency: string }) => `${of.station} ${of.frequency}`;

/** A lane for a station, however many of its parts are heard, in the order the service gives. */
function stations_of(hearing: readonly Hearing[]): Map<string, Station> {
  const stations = new Map<string, Station>();
  for (const heard of hearing) {
    const lane = stations.get(key_of(heard)) ?? { station: heard.station, azimuth: null, distance: null, glideslope: null };
    lane[heard.part] = heard;
    stations.set(key_of(heard), lane);
  }
  return stations;
}

/** The stations that a set stands on, in the order in which it first does; without a schedule of the radios those that are needed. */
function in_use(ribbon: RibbonDocument): Set<string> {
  const tuned = ribbon.receivers.flatMap((receiver) => receiver.spans).filter((span) => span.role === "tuned");
  if (tuned.length === 0) return new Set(ribbon.hearing.filter((heard) => heard.needed).map(key_of));
  return new Set(tuned.sort((one, other) => one.begins_s - other.begins_s).map(key_of));
}

/** Where each lane lies, from the top. */
export function lanes_of(ribbon: RibbonDocument, show_unused: boolean, laid_over: { readonly needle: boolean } | null = null): Lanes {
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
  const place_with_gap = (height_px: number) => {
    const placed = place(height_px);
    gap();
    return placed;
  };
  const deviation = laid_over && { aside: place_with_gap(aside_px), needle: laid_over.needle ? place_with_gap(needle_px) : null };
  const stations = stations_of(ribbon.hearing);
  const used = in_use(ribbon);
  const first = [...used].map((key) => stations.get(key)).filter((station) => station !== undefined);
  const others = [...stations].filter(([key]) => !used.has(key)).map(([, station]) => station);
  const heard = [
    ...first.map((station) => ({ ...place(heard_px), ...station, used: true })),
    ...(show_unused ? others : []).map((station) => ({ ...place(heard_px), ...station, used: false })),
  ];
  gap();
  const receivers = ribbon.receivers.map((receiver) => ({
    ...place(receiver_px + (receiver.spans.some((span) => span.role === "standby") ? standby_px : 0)),
    receiver,
  }));
  gap();
  const heights = place(heights_px);
  const wind = place(wind_px);
  return { axis, steps, deviation, heard, receivers, heights, wind, height_px: below_px, left_out: show_unused ? 0 : others.length };
}
