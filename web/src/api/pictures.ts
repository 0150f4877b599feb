// The documents that are drawn: about, chart, ribbon and panel, as the service lays them out. Written by hand until their
// schemas stand in api/; names and units are those of every other document.

export interface Place {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

export interface AboutDocument {
  readonly kind: "about";
  readonly version: string;
  readonly caution: string;
  readonly chart: {
    readonly standard_parallels_deg: readonly [number, number];
    readonly centre: Place;
    readonly west_deg: number;
    readonly south_deg: number;
    readonly east_deg: number;
    readonly north_deg: number;
  } | null;
  readonly first_question: {
    readonly from: string;
    readonly to: string;
    readonly aircraft: string;
    readonly wind: string;
    readonly date?: string;
  } | null;
  readonly aircraft: readonly string[];
}

export type StationKind = "vor" | "vor_dme" | "vortac" | "tacan" | "dme" | "ndb" | "ndb_dme" | "localizer";

export interface ChartStation {
  readonly ident: string;
  readonly name: string;
  readonly kind: StationKind;
  /** Its kind as the trade names it. */
  readonly says: string;
  readonly frequency: string;
  readonly morse: string;
  readonly place: Place;
  readonly rose_zero_true_deg: number | null;
  readonly airport?: string;
}

export interface ChartAirway {
  readonly designator: string;
  readonly area_navigation_only: boolean;
  readonly from: string;
  readonly to: string;
  readonly back_minimum_msl_ft?: number | null;
  readonly from_place: Place;
  readonly to_place: Place;
  readonly course_magnetic_deg: number | null;
  readonly back_course_magnetic_deg: number | null;
  readonly distance_nm: number;
  readonly minimum_msl_ft: number | null;
  readonly one_way: boolean;
}

export interface ChartAirport {
  readonly ident: string;
  readonly name: string;
  readonly place: Place;
  readonly elevation_msl_ft: number | null;
  readonly longest_runway_true_deg: number | null;
  readonly longest_runway_ft: number | null;
}

export interface ChartDocument {
  readonly kind: "chart";
  readonly west_deg: number;
  readonly south_deg: number;
  readonly east_deg: number;
  readonly north_deg: number;
  readonly stations: readonly ChartStation[];
  readonly airways: readonly ChartAirway[];
  readonly fixes: ReadonlyArray<{ readonly ident: string; readonly place: Place }>;
  readonly airports: readonly ChartAirport[];
  /** Rings of the coast as pairs of longitude and latitude in degrees. */
  readonly coast: ReadonlyArray<ReadonlyArray<readonly [number, number]>>;
}

/** A stretch of the flight, in nautical miles and seconds from its beginning. */
export interface Stretch {
  readonly begins_nm: number;
  readonly ends_nm: number;
  readonly begins_s: number;
  readonly ends_s: number;
}

export interface RibbonStep extends Stretch {
  readonly number: number;
  readonly phase: string;
  readonly says: string;
  readonly until: string;
  readonly guidance: string;
  readonly missed: boolean;
}

export interface HeardSpan extends Stretch {
  readonly begins_because: string;
  readonly ends_because: string;
  /** The same in two words at most; empty at the ends of the flight. */
  readonly begins_in_short: string;
  readonly ends_in_short: string;
  /** Heard by publication alone: a flight-checked leg needs it where it is computed not to be heard. */
  readonly published?: boolean;
  /** What is left of its strength, from 0 at the edge of what is heard to 1 well within. */
  readonly margins: ReadonlyArray<{ readonly at_nm: number; readonly strength_share: number }>;
}

export interface Hearing {
  readonly station: string;
  readonly name: string;
  readonly kind: string;
  readonly frequency: string;
  readonly morse: string;
  readonly used: boolean;
  readonly part: "azimuth" | "distance" | "glideslope";
  /** What that part gives: radial, bearing, course, DME, slope. */
  readonly gives: string;
  readonly spans: readonly HeardSpan[];
}

export interface ReceiverSpan extends Stretch {
  readonly station: string;
  readonly frequency: string;
  readonly course_deg: number | null;
  readonly role: "tuned" | "standby";
  readonly identify_by_s: number | null;
}

export interface ReceiverUse extends Stretch {
  readonly use: "guides" | "tells" | "checks";
  readonly station: string;
  readonly step: number;
}

export interface ReceiverLane {
  readonly name: string;
  readonly spans: readonly ReceiverSpan[];
  readonly uses: readonly ReceiverUse[];
  readonly retunes: ReadonlyArray<{
    readonly at_nm: number;
    readonly at_s: number;
    readonly to: string;
    readonly slack_s: number;
  }>;
}

export interface HeightPoint {
  readonly at_nm: number;
  readonly at_s: number;
  readonly altitude_msl_ft: number;
  readonly minimum_msl_ft: number | null;
  readonly ground_msl_ft: number | null;
}

export interface TrackPoint extends Place {
  readonly at_nm: number;
  readonly at_s: number;
  readonly step: number;
}

export interface RibbonDocument {
  readonly kind: "ribbon";
  readonly distance_nm: number;
  readonly time_s: number;
  readonly distance_with_missed_nm: number;
  readonly time_with_missed_s: number;
  readonly steps: readonly RibbonStep[];
  readonly hearing: readonly Hearing[];
  readonly receivers: readonly ReceiverLane[];
  readonly heights: readonly HeightPoint[];
  readonly wind: ReadonlyArray<{ readonly at_nm: number; readonly at_s: number; readonly from_true_deg: number; readonly speed_kt: number }>;
  readonly track: readonly TrackPoint[];
  readonly missed_track: readonly TrackPoint[];
}

export interface PanelReceiver {
  readonly name: string;
  readonly tuned: string | null;
  readonly frequency: string | null;
  readonly heard: boolean;
  readonly identified: boolean;
  readonly course_deg: number | null;
  /** Of full scale, right positive. */
  readonly deflection_share: number | null;
  readonly full_scale_deg: number | null;
  readonly flag: "to" | "from" | "neither" | "off";
  /** Of full scale, up positive. */
  readonly glideslope_share: number | null;
}

export interface PanelSample extends Place {
  readonly at_nm: number;
  readonly at_s: number;
  readonly altitude_msl_ft: number;
  readonly heading_magnetic_deg: number;
  readonly airspeed_kt: number;
  readonly step: number;
  readonly receivers: readonly PanelReceiver[];
  readonly dme: { readonly station: string | null; readonly shows_nm: number | null; readonly identified: boolean } | null;
  readonly adf: { readonly station: string | null; readonly frequency: string | null; readonly relative_deg: number | null; readonly identified: boolean } | null;
  readonly marker?: "" | "outer" | "middle" | "inner";
  readonly changes_next: { readonly says: string; readonly step: number; readonly in_s: number } | null;
}

export interface PanelDocument {
  readonly kind: "panel";
  readonly aircraft: string;
  readonly instruments: ReadonlyArray<{ readonly name: string; readonly indicator: string }>;
  readonly samples: readonly PanelSample[];
}
