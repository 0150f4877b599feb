// The documents that are drawn, as their schemas in api/ have them; here by the names that the views use.
import type { ChartDocument, ChartStation, RibbonHeight, RibbonLane, RibbonPlace, RibbonPoint, RibbonSet, RibbonSpan, RibbonStanding } from "./generated";

export type { AboutDocument, ChartAirport, ChartAirway, ChartDocument, ChartMarker, ChartStation, PanelDocument, PanelReceiver, PanelSample, RibbonDocument, RibbonStep } from "./generated";

export type Place = RibbonPlace;
export type StationKind = ChartStation["kind"];
/** A line of the coast: longitude and latitude in degrees. */
export type CoastLine = ChartDocument["coast"][number];

/** From where to where along the flight. */
export type Stretch = Pick<RibbonSpan, "begins_nm" | "ends_nm" | "begins_s" | "ends_s">;

export type Hearing = RibbonLane;
export type HeardSpan = RibbonSpan;
export type ReceiverLane = RibbonSet;
export type ReceiverSpan = RibbonStanding;
export type HeightPoint = RibbonHeight;
export type TrackPoint = RibbonPoint;
