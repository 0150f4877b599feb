import OlMap from "ol/Map";
import View from "ol/View";
import { defaults as default_controls } from "ol/control/defaults";
import ScaleLine from "ol/control/ScaleLine";
import { boundingExtent } from "ol/extent";
import Feature, { type FeatureLike } from "ol/Feature";
import type BaseLayer from "ol/layer/Base";
import Graticule from "ol/layer/Graticule";
import OlOverlay from "ol/Overlay";
import VectorLayer from "ol/layer/Vector";
import LineString from "ol/geom/LineString";
import Point from "ol/geom/Point";
import Polygon from "ol/geom/Polygon";
import VectorSource from "ol/source/Vector";
import Fill from "ol/style/Fill";
import Icon from "ol/style/Icon";
import CircleShape from "ol/style/Circle";
import RegularShape from "ol/style/RegularShape";
import Stroke from "ol/style/Stroke";
import Style from "ol/style/Style";
import Text from "ol/style/Text";
import type { AboutDocument, ChartAirway, ChartDocument, ChartMarker, ChartStation, PanelSample, Place, RibbonDocument, TrackPoint } from "../api/pictures";
import type { ChartPlace } from "../flight/address";
import { sample_at } from "../flight/along";
import { guidance_line } from "../flight/guidance_line";
import { drawn_below } from "./legible";
import { type Overlay, shapes_of } from "./overlay";
import { ChartProjection } from "./projection";
import { aircraft, airport, type Inks, marker_beacon, rose, station_symbol } from "./symbols";

type Region = NonNullable<AboutDocument["chart"]>;

const face = '"Liberation Sans", Arial, Helvetica, sans-serif';
const radians = (degrees: number) => (degrees * Math.PI) / 180;
function degrees_says(degrees: number, positive: string, negative: string): string {
  const minutes = Math.round(Math.abs(degrees) * 60);
  const part = minutes % 60 === 0 ? "" : String(minutes % 60).padStart(2, "0") + "′";
  return `${Math.floor(minutes / 60)}°${part}${degrees < 0 ? negative : positive}`;
}

const three = (degrees: number) => String(Math.round(degrees) % 360 || 360).padStart(3, "0");

/** Nearer than this, in metres to a pixel, is not gone when a place is looked for. */
const seen_closely = 240;

// A chart that is drawn anew at another size stands where it stood.
export const same_place = (one: ChartPlace | null, other: ChartPlace | null): boolean =>
  one?.latitude_deg === other?.latitude_deg && one?.longitude_deg === other?.longitude_deg && one?.metres_a_pixel === other?.metres_a_pixel;

/** An ink that lets through what is below it; short as a style sheet may have it. */
const through = (ink: string, alpha: string): string => (ink.length === 4 ? `#${[...ink.slice(1)].map((digit) => digit + digit).join("")}` : ink) + alpha;

/** The dots alone: a browser prints the strokes of a canvas again, and images among them at another size. */
function flattened(canvas: HTMLCanvasElement, context: CanvasRenderingContext2D): HTMLCanvasElement {
  const flat = document.createElement("canvas");
  [flat.width, flat.height] = [canvas.width, canvas.height];
  flat.getContext("2d", { alpha: false })?.putImageData(context.getImageData(0, 0, canvas.width, canvas.height), 0, 0);
  return flat;
}

const marker_letters: Readonly<Record<ChartMarker["kind"], string>> = { outer: "OM", middle: "MM", inner: "IM", back_course: "BM" };

export interface MarkedChoice {
  readonly place: Place;
  readonly says: string;
}

/** What a click on the chart found; of an airway its segment, and the end that was nearer. */
export type Found =
  | { readonly kind: "choice"; readonly index: number }
  | { readonly kind: "station"; readonly station: ChartStation }
  | { readonly kind: "airway"; readonly airway: ChartAirway; readonly towards: string }
  | { readonly kind: "fix"; readonly ident: string }
  | { readonly kind: "marker"; readonly marker: ChartMarker }
  | { readonly kind: "airport"; readonly ident: string; readonly name: string }
  | { readonly kind: "flight"; readonly at_nm: number; readonly at_s: number; readonly step: number };

/** The map and its layers. It holds no state of the page: what it is to show is set, what is clicked is told. */
export class ChartMap {
  private readonly projection: ChartProjection;
  private readonly map: OlMap;
  private readonly coast = new VectorSource();
  private readonly airways = new VectorSource();
  private readonly points = new VectorSource();
  private readonly flight = new VectorSource();
  private readonly areas = new VectorSource();
  private readonly overlay = new VectorSource();
  private readonly choices = new VectorSource();
  private readonly cursor: OlOverlay;
  private readonly aircraft = document.createElement("div");
  private readonly layers: VectorLayer[];
  private grid: Graticule | undefined;
  private inks: Inks;
  private needed = new Set<string>();
  private picked: number | null = null;
  private line: readonly TrackPoint[] = [];
  /** Where it came to stand when it was last put somewhere, and how that place is called: null about the flight. */
  private put_at: ChartPlace;
  private put_as: ChartPlace | null = null;

  constructor(private readonly target: HTMLElement, region: Region, inks: Inks, told: (found: Found | null) => void, moved: (to: ChartPlace | null) => void, more: { readonly pixelRatio?: number } = {}) {
    this.projection = new ChartProjection(region);
    this.inks = inks;
    const layer = (source: VectorSource, style: (feature: FeatureLike, resolution: number) => Style | Style[] | undefined, declutter = false) =>
      new VectorLayer({ source, style, declutter, updateWhileAnimating: true, updateWhileInteracting: true });
    this.layers = [
      layer(this.coast, () => this.coast_style()),
      layer(this.airways, (feature, resolution) => this.airway_style(feature, resolution), true),
      layer(this.areas, (feature) => this.area_style(feature)),
      layer(this.flight, (feature) => this.flight_style(feature)),
      layer(this.overlay, (feature) => this.overlay_style(feature)),
      layer(this.points, (feature, resolution) => this.point_style(feature, resolution), true),
      layer(this.choices, (feature) => this.choice_style(feature), true),
    ];
    this.map = new OlMap({
      ...more,
      target,
      layers: this.layers,
      controls: default_controls({ attribution: false, rotate: false }).extend([new ScaleLine({ units: "nautical", minWidth: 60 })]),
      view: new View({ projection: this.projection.of, center: this.projection.xy(region.centre), resolution: 800, minResolution: 15, maxResolution: 3000, enableRotation: false }),
    });
    // No feature of a layer: it moves without the chart being drawn anew.
    this.aircraft.className = "aircraft-at-cursor";
    this.aircraft.replaceChildren(aircraft(inks));
    this.cursor = new OlOverlay({ element: this.aircraft, positioning: "center-center", stopEvent: false });
    this.map.addOverlay(this.cursor);
    this.put_grid();
    this.map.on("click", (event) => told(this.found_at(event.pixel)));
    this.put_at = this.place();
    this.map.on("moveend", () => {
      const at = this.place();
      moved(same_place(at, this.put_at) ? this.put_as : at);
    });
  }

  close(): void {
    this.map.setTarget(undefined);
    this.map.dispose();
  }

  /** All that is drawn, and its scale, as one picture. */
  picture(): HTMLCanvasElement {
    this.map.renderSync();
    const [width = 0, height = 0] = this.map.getSize() ?? [];
    const ratio = this.map.getPixelRatio();
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(width * ratio);
    canvas.height = Math.round(height * ratio);
    const context = canvas.getContext("2d");
    if (!context) return canvas;
    context.scale(ratio, ratio);
    context.fillStyle = this.inks.paper;
    context.fillRect(0, 0, width, height);
    for (const layer of this.target.querySelectorAll<HTMLCanvasElement>(".ol-layer canvas, canvas.ol-layer")) {
      if (layer.width === 0) continue;
      context.save();
      const [a, b, c, d, e, f] = new DOMMatrix(layer.style.transform).toFloat64Array().filter((_, at) => [0, 1, 4, 5, 12, 13].includes(at));
      context.transform(a!, b!, c!, d!, e!, f!);
      context.drawImage(layer, 0, 0);
      context.restore();
    }
    this.put_scale(context, height);
    return flattened(canvas, context);
  }

  private put_scale(context: CanvasRenderingContext2D, height: number): void {
    const scale = this.target.querySelector<HTMLElement>(".ol-scale-line-inner");
    if (!scale) return;
    const { offsetWidth: width } = scale;
    context.fillStyle = this.inks.paper;
    context.fillRect(8, height - 34, width + 8, 28);
    context.strokeStyle = this.inks.ink;
    context.lineWidth = 1.2;
    context.beginPath();
    for (const [x, y] of [[12, height - 16], [12, height - 10], [12 + width, height - 10], [12 + width, height - 16]] as const) context.lineTo(x, y);
    context.stroke();
    context.fillStyle = this.inks.ink;
    context.font = `12px ${face}`;
    context.textAlign = "center";
    context.fillText(scale.textContent ?? "", 12 + width / 2, height - 18);
  }

  /** A layer below all lines and points, above the coast. */
  put_below(layer: BaseLayer): void {
    this.map.getLayers().insertAt(1, layer);
  }

  take_away(layer: BaseLayer): void {
    this.map.removeLayer(layer);
  }

  set_inks(inks: Inks): void {
    this.inks = inks;
    this.aircraft.replaceChildren(aircraft(inks));
    this.put_grid();
    for (const layer of this.layers) layer.changed();
  }

  show_chart(chart: ChartDocument): void {
    const { projection } = this;
    this.coast.clear();
    this.coast.addFeatures(chart.coast.map((ring) => new Feature(new Polygon([ring.map(([lon = 0, lat = 0]) => projection.lon_lat([lon, lat]))]))));
    this.airways.clear();
    this.airways.addFeatures(
      chart.airways.map((airway) => {
        const feature = new Feature(new LineString([projection.xy(airway.from_place), projection.xy(airway.to_place)]));
        feature.set("found", { kind: "airway", airway, towards: airway.to } satisfies Found);
        return feature;
      }),
    );
    const point = (place: Place, found: Found, more: Record<string, unknown> = {}) => {
      const feature = new Feature(new Point(projection.xy(place)));
      feature.setProperties({ found, ...more });
      return feature;
    };
    this.points.clear();
    this.points.addFeatures(chart.fixes.map((fix) => point(fix.place, { kind: "fix", ident: fix.ident })));
    this.points.addFeatures(
      chart.airports.map((one) =>
        point(
          one.place,
          { kind: "airport", ident: one.ident, name: one.name },
          { turn: radians((one.longest_runway_true_deg ?? 0) + projection.north_deg(one.place)) },
        ),
      ),
    );
    this.points.addFeatures(
      chart.markers.map((marker) =>
        point(
          marker.place,
          { kind: "marker", marker },
          { turn: radians((marker.minor_axis_true_deg ?? 0) + projection.north_deg(marker.place)) },
        ),
      ),
    );
    this.points.addFeatures(
      chart.stations
        .filter((station) => station.kind !== "localizer")
        .map((station) =>
          point(
            station.place,
            { kind: "station", station },
            { turn: station.rose_zero_true_deg === null ? null : radians(station.rose_zero_true_deg + projection.north_deg(station.place)) },
          ),
        ),
    );
  }

  /** What can be put into a route that is being built, marked where it leads. */
  show_choices(choices: readonly MarkedChoice[]): void {
    this.choices.clear();
    this.choices.addFeatures(
      choices.map((choice, index) => {
        const feature = new Feature(new Point(this.projection.xy(choice.place)));
        feature.setProperties({ found: { kind: "choice", index } satisfies Found, says: choice.says });
        return feature;
      }),
    );
  }

  /** Nothing is flown: the chart alone, whole. */
  show_no_flight(): void {
    this.line = [];
    this.needed.clear();
    this.areas.clear();
    this.flight.clear();
    this.cursor.setPosition(undefined);
    for (const layer of this.layers) layer.changed();
  }

  /** As large as these places allow; the whole region where none is given. */
  show_all_of(places: readonly Place[]): void {
    const xy = places.map((place) => this.projection.xy(place));
    const extent = xy.length > 0 ? boundingExtent(xy) : this.projection.of.getExtent();
    this.map.getView().fit(extent, { padding: [60, 96, 60, 96], minResolution: 60 });
    this.was_put(null);
  }

  stand_at(at: ChartPlace): void {
    const view = this.map.getView();
    view.setCenter(this.projection.xy(at));
    view.setResolution(at.metres_a_pixel);
    this.was_put(at);
  }

  private was_put(as: ChartPlace | null): void {
    this.put_at = this.place();
    this.put_as = as;
  }

  private place(): ChartPlace {
    const view = this.map.getView();
    const place = this.projection.place((view.getCenter() ?? [0, 0]) as [number, number]);
    const round = (degrees: number) => Number(degrees.toFixed(4));
    return { latitude_deg: round(place.latitude_deg), longitude_deg: round(place.longitude_deg), metres_a_pixel: Math.max(1, Math.round(view.getResolution() ?? 1)) };
  }

  go_to(place: Place): void {
    const view = this.map.getView();
    view.setCenter(this.projection.xy(place));
    view.setResolution(Math.min(view.getResolution() ?? seen_closely, seen_closely));
  }

  show_flight(ribbon: RibbonDocument, whole: boolean): void {
    this.line = [...ribbon.track, ...ribbon.missed_track];
    this.needed = new Set(ribbon.hearing.filter((heard) => heard.needed).map((heard) => `${heard.station} ${heard.frequency}`));
    this.areas.clear();
    this.areas.addFeatures(
      ribbon.areas.map(({ step, corners }) => {
        const feature = new Feature(new Polygon([corners.map((corner) => this.projection.xy(corner))]));
        feature.set("area_of", step);
        return feature;
      }),
    );
    this.flight.clear();
    for (const missed of [true, false]) {
      const track = missed ? ribbon.missed_track : ribbon.track;
      for (const step of ribbon.steps.filter((one) => one.missed === missed)) {
        const places = track.filter((point) => point.step === step.number).map((point) => this.projection.xy(point));
        // Each step begins where the one before it ended, so that no gap stands between them.
        const first = track.findIndex((point) => point.step === step.number);
        if (first > 0) places.unshift(this.projection.xy(track[first - 1]!));
        if (places.length < 2) continue;
        const feature = new Feature(new LineString(places));
        feature.setProperties({ step: step.number, guidance: step.guidance, missed });
        this.flight.addFeature(feature);
      }
    }
    for (const layer of this.layers) layer.changed();
    if (whole) this.whole_flight();
  }

  show_overlay(overlay: Overlay): void {
    const { projection } = this;
    this.overlay.clear();
    for (const area of overlay.areas) {
      for (const rings of shapes_of(area)) {
        const feature = new Feature(new Polygon(rings.map((ring) => ring.map((place) => projection.xy(place)))));
        feature.set("within", area.within);
        this.overlay.addFeature(feature);
      }
    }
    for (const line of overlay.lines) {
      const feature = new Feature(new LineString(line.places.map((place) => projection.xy(place))));
      feature.set("says", line.says);
      this.overlay.addFeature(feature);
    }
    for (const mark of overlay.marks) {
      const feature = new Feature(new Point(projection.xy(mark.place)));
      feature.set("says", mark.says);
      this.overlay.addFeature(feature);
    }
  }

  /** With some room about it: a small region alone says little of where it is. */
  whole_overlay(): void {
    this.fit(this.overlay, 100);
  }

  whole_flight(): void {
    this.fit(this.flight, 60);
  }

  private fit(source: VectorSource, nearest: number): void {
    const extent = source.getExtent();
    if (!extent || !Number.isFinite(extent[0])) return;
    this.map.getView().fit(extent, { padding: [30, 96, 36, 56], minResolution: nearest });
    this.was_put(null);
  }

  pick(step: number | null): void {
    this.picked = step;
    this.areas.changed();
    this.flight.changed();
  }

  no_aircraft(): void {
    this.cursor.setPosition(undefined);
  }

  /** Puts the aircraft where the sample of that time was. */
  move_cursor(flown: readonly PanelSample[], at_s: number): void {
    const sample = sample_at(flown, at_s);
    if (!sample) return;
    this.cursor.setPosition(this.projection.xy(sample));
    // Headings are magnetic; on the chart the nose follows the line flown, told by the places themselves.
    const next = flown.find((point) => point.at_s > sample.at_s + 1) ?? flown.at(-1)!;
    const [from, to] = [this.projection.xy(sample), this.projection.xy(next)];
    if (from[0] !== to[0] || from[1] !== to[1]) {
      this.aircraft.style.transform = `rotate(${Math.atan2(to[0] - from[0], to[1] - from[1]).toFixed(3)}rad)`;
    }
  }

  when_drawn(then: () => void): void {
    this.map.once("postrender", then);
  }

  private found_at(pixel: number[]): Found | null {
    const features = this.map.getFeaturesAtPixel(pixel, { hitTolerance: 6 });
    const choice = features.find((feature) => (feature.get("found") as Found | undefined)?.kind === "choice");
    if (choice) return choice.get("found") as Found;
    const on_flight = features.find((feature) => feature.get("step") !== undefined);
    const named = features.map((feature) => feature.get("found") as Found | undefined).find((found) => found !== undefined && found.kind !== "airway");
    if (named) return named;
    if (on_flight) return this.place_on_flight(pixel, on_flight.get("step") as number);
    const airway = features.map((feature) => feature.get("found") as Found | undefined).find((found) => found !== undefined);
    return airway?.kind === "airway" ? { ...airway, towards: this.nearer_end(pixel, airway.airway) } : null;
  }

  private nearer_end(pixel: number[], airway: ChartAirway): string {
    const apart = (place: Place) => {
      const at = this.map.getPixelFromCoordinate(this.projection.xy(place));
      return Math.hypot((at[0] ?? 0) - (pixel[0] ?? 0), (at[1] ?? 0) - (pixel[1] ?? 0));
    };
    return apart(airway.from_place) < apart(airway.to_place) ? airway.from : airway.to;
  }

  private place_on_flight(pixel: number[], step: number): Found | null {
    let nearest: { point: TrackPoint; apart: number } | null = null;
    for (const point of this.line) {
      if (point.step !== step) continue;
      const at = this.map.getPixelFromCoordinate(this.projection.xy(point));
      const apart = Math.hypot((at[0] ?? 0) - (pixel[0] ?? 0), (at[1] ?? 0) - (pixel[1] ?? 0));
      if (!nearest || apart < nearest.apart) nearest = { point, apart };
    }
    return nearest && { kind: "flight", at_nm: nearest.point.at_nm, at_s: nearest.point.at_s, step };
  }

  private put_grid(): void {
    if (this.grid) this.map.removeLayer(this.grid);
    const label = () => new Text({ font: `12px ${face}`, fill: new Fill({ color: this.inks.soft }), stroke: new Stroke({ color: this.inks.paper, width: 3 }) });
    this.grid = new Graticule({
      strokeStyle: new Stroke({ color: this.inks.faint, width: 0.7 }),
      showLabels: true,
      wrapX: false,
      lonLabelStyle: label(),
      latLabelStyle: label(),
      lonLabelPosition: 0.98,
      latLabelPosition: 0.97,
      lonLabelFormatter: (longitude) => degrees_says(longitude, "E", "W"),
      latLabelFormatter: (latitude) => degrees_says(latitude, "N", "S"),
      targetSize: 130,
      intervals: [5, 2, 1, 0.5],
    });
    this.map.getLayers().insertAt(1, this.grid);
  }

  private text(says: string, colour: string, offset: readonly [number, number], weight = "", align: CanvasTextAlign = "left"): Text {
    return new Text({
      text: says,
      font: `${weight} 12px ${face}`.trim(),
      fill: new Fill({ color: colour }),
      stroke: new Stroke({ color: this.inks.paper, width: 3.5 }),
      offsetX: offset[0],
      offsetY: offset[1],
      textAlign: align,
    });
  }

  private coast_style(): Style {
    return new Style({ stroke: new Stroke({ color: this.inks.shore, width: 1.1 }), fill: new Fill({ color: this.inks.land }) });
  }

  private airway_style(feature: FeatureLike, resolution: number): Style[] | undefined {
    if (resolution > drawn_below.airway) return undefined;
    const { airway } = feature.get("found") as Extract<Found, { kind: "airway" }>;
    const styles = [
      new Style({
        stroke: new Stroke({ color: this.inks.faint, width: airway.area_navigation_only ? 1 : 1.6, ...(airway.area_navigation_only ? { lineDash: [1.5, 5] } : {}) }),
      }),
    ];
    if (resolution > drawn_below.airway_designator) return styles;
    const line = feature.getGeometry() as LineString;
    const designator = airway.area_navigation_only ? `${airway.designator} RNAV only` : airway.designator;
    const figures: string[] = [];
    if (resolution <= drawn_below.airway_figures) {
      if (airway.course_magnetic_deg !== null && !airway.area_navigation_only) figures.push(`${three(airway.course_magnetic_deg)}°`);
      if (airway.minimum_msl_ft !== null) figures.push(`${airway.minimum_msl_ft} ft`);
      figures.push(`${airway.distance_nm.toFixed(0)} NM`);
    }
    const says = [designator, ...figures].join("  ");
    if (line.getLength() / resolution < 7 * says.length) return styles;
    styles.push(
      new Style({
        text: new Text({
          text: says,
          font: `12px ${face}`,
          placement: "line",
          textBaseline: "bottom",
          offsetY: -2,
          fill: new Fill({ color: this.inks.soft }),
          stroke: new Stroke({ color: this.inks.paper, width: 4 }),
        }),
      }),
    );
    return styles;
  }

  private point_style(feature: FeatureLike, resolution: number): Style | Style[] | undefined {
    const found = feature.get("found") as Found;
    if (found.kind === "station") return this.station_style(found.station, feature.get("turn") as number | null, resolution);
    if (found.kind === "airport") {
      const image = new Icon({ img: airport(this.inks), scale: 0.5, rotation: feature.get("turn") as number, rotateWithView: true, declutterMode: "obstacle" });
      return new Style({ image, ...(resolution <= drawn_below.airport_label ? { text: this.text(found.ident, this.inks.soft, [-10, 12], "", "right") } : {}) });
    }
    if (found.kind === "marker") {
      if (resolution > drawn_below.marker) return undefined;
      const image = new Icon({ img: marker_beacon(this.inks), scale: 0.5, rotation: feature.get("turn") as number, rotateWithView: true, declutterMode: "obstacle" });
      return new Style({ image, text: this.text(marker_letters[found.marker.kind], this.inks.soft, [0, -22], "", "center") });
    }
    if (found.kind !== "fix" || resolution > drawn_below.fix) return undefined;
    return new Style({
      image: new RegularShape({ points: 3, radius: 4.5, stroke: new Stroke({ color: this.inks.soft, width: 1.1 }), declutterMode: "obstacle" }),
      ...(resolution <= drawn_below.fix_label ? { text: this.text(found.ident, this.inks.soft, [8, 0]) } : {}),
    });
  }

  private station_style(station: ChartStation, turn: number | null, resolution: number): Style[] {
    const used = this.needed.has(`${station.ident} ${station.frequency}`);
    const styles: Style[] = [];
    if (turn !== null && resolution <= drawn_below.rose * (used ? 2.5 : 1)) {
      styles.push(new Style({ image: new Icon({ img: rose(this.inks, 34), scale: 0.5, rotation: turn, declutterMode: "none" }) }));
    }
    const symbol = station_symbol(station.kind, this.inks, used);
    const label = resolution <= (used ? drawn_below.used_label : drawn_below.station_label);
    styles.push(
      new Style({
        ...(symbol ? { image: new Icon({ img: symbol, scale: 0.5, declutterMode: "obstacle" }) } : {}),
        ...(label ? { text: this.text(`${station.ident} ${station.frequency}`, used ? this.inks.ink : this.inks.soft, [13, used ? -12 : 10], used ? "bold" : "") } : {}),
        zIndex: used ? 2 : 1,
      }),
    );
    return styles;
  }

  /** Lines are hollow; where something is with 50 and with 95 %, the darker is the surer, and its edge is whole. */
  private overlay_style(feature: FeatureLike): Style[] {
    const { ink, paper } = this.inks;
    const within = feature.get("within") as "half" | "most" | undefined;
    if (within) {
      const half = within === "half";
      return [
        new Style({
          fill: new Fill({ color: through(ink, half ? "3d" : "1f") }),
          stroke: new Stroke({ color: ink, width: half ? 1.8 : 1.4, ...(half ? {} : { lineDash: [6, 4] }) }),
        }),
      ];
    }
    const label = this.text(feature.get("says") as string, ink, [12, 12], "bold");
    if (feature.getGeometry() instanceof Point) {
      return [new Style({ image: new RegularShape({ points: 4, radius: 7, radius2: 0, angle: Math.PI / 4, stroke: new Stroke({ color: ink, width: 1.8 }) }), text: label })];
    }
    label.setPlacement("line");
    label.setTextBaseline("bottom");
    label.setTextAlign("center");
    label.setOffsetX(0);
    label.setOffsetY(-5);
    label.setRepeat(420);
    label.setMaxAngle(0.5);
    return [
      new Style({ stroke: new Stroke({ color: paper, width: 7.5 }) }),
      new Style({ stroke: new Stroke({ color: ink, width: 4.6 }) }),
      new Style({ stroke: new Stroke({ color: paper, width: 2.2 }), text: label }),
    ];
  }

  private choice_style(feature: FeatureLike): Style[] {
    const ring = (radius: number, colour: string, width: number) =>
      new Style({ image: new CircleShape({ radius, stroke: new Stroke({ color: colour, width }), fill: new Fill({ color: "rgba(0, 0, 0, 0.01)" }), declutterMode: "none" }) });
    return [ring(12, this.inks.paper, 5), ring(12, this.inks.ink, 1.6), new Style({ text: this.text(feature.get("says") as string, this.inks.ink, [17, -14], "bold") })];
  }

  /** A hairline about what is protected; of the step that was picked the ground within it too. */
  private area_style(feature: FeatureLike): Style {
    const picked = feature.get("area_of") === this.picked;
    const { ink, soft } = this.inks;
    return new Style({
      stroke: new Stroke({ color: picked ? ink : soft, width: picked ? 1.4 : 0.9, lineDash: [2, 3] }),
      ...(picked ? { fill: new Fill({ color: through(ink, "14") }) } : {}),
    });
  }

  private flight_style(feature: FeatureLike): Style[] {
    const missed = feature.get("missed") as boolean;
    const { dashes } = guidance_line(feature.get("guidance") as string);
    const picked = feature.get("step") === this.picked;
    return [
      new Style({ stroke: new Stroke({ color: this.inks.paper, width: picked ? 11 : 5.5, lineCap: "butt" }) }),
      new Style({
        stroke: new Stroke({ color: this.inks.ink, width: picked ? 4.5 : missed ? 1.4 : 2.4, lineCap: "butt", ...(dashes.length > 0 ? { lineDash: [...dashes] } : {}) }),
      }),
    ];
  }
}
