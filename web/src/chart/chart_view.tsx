import "ol/ol.css";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { SearchFound } from "../api/generated";
import type { AboutDocument, ChartDocument, ChartStation, PanelDocument, RibbonDocument } from "../api/pictures";
import { FiguresView, type Wanted } from "../figures/figures_view";
import type { ChartPlace, Layers } from "../flight/address";
import { clock_of } from "../flight/clock";
import type { Cursor } from "../flight/cursor";
import { LayersBox, RasterLegend } from "../layers/layers_box";
import type { RasterInks } from "../layers/raster_image";
import { useLayers } from "../layers/use_layers";
import { ChartMap, type Found, type MarkedChoice, same_place } from "./chart_map";
import { type ChartPaper, drawn_for_paper, inks_of } from "./chart_paper";
import { Legend } from "./legend";
import type { Overlay } from "./overlay";
import { SearchField } from "./search_field";

interface Props {
  readonly region: NonNullable<AboutDocument["chart"]>;
  /** What lies about the flight; null until it has come. The flight can be read without. */
  readonly chart: ChartDocument | null;
  /** The flight; null where none is drawn. */
  readonly ribbon: RibbonDocument | null;
  readonly cursor: Cursor;
  /** The aircraft: where it is at the time of its cursor; null where none is drawn. */
  readonly aircraft: { readonly samples: PanelDocument["samples"]; readonly cursor: Cursor } | null;
  readonly overlay: Overlay;
  /** What the chart is fitted to as it comes. */
  readonly fitted_to: "flight" | "overlay";
  readonly picked: number | null;
  readonly pick: (step: number | null) => void;
  readonly night: boolean;
  readonly layers: Layers;
  readonly set_layers: (layers: Layers) => void;
  /** The level of the flight. */
  readonly cruise_ft: number;
  readonly drawn: () => void;
  /** A station was pressed. */
  readonly pressed_station?: ((station: ChartStation) => void) | undefined;
  /** Where the chart stands as the address bar has it; null about the flight. */
  readonly kept: ChartPlace | null;
  /** Told when it has come to rest elsewhere; null about the flight. */
  readonly moved: (to: ChartPlace | null) => void;
  /** Idents of the two airports: between them the chart begins where a route is being built. */
  readonly between: readonly string[];
  /** What can be put into a route that is being built; empty where none is. */
  readonly choices: readonly MarkedChoice[];
  /** Takes what was clicked where a route is being built: true where that was put into it. */
  readonly take: ((found: Found) => boolean) | null;
  /** Draws the chart for paper as it stands. */
  readonly paper: { current: ChartPaper | null };
}

/** Light falls white by day; by night it is a little of the ink itself. */
function raster_inks(night: boolean): RasterInks {
  const { ink, soft, paper } = inks_of(document.documentElement);
  return { ink, soft, paper, light: night ? "#7a5a3c" : "#ffffff", shade: night ? "#000000" : "#5d5540" };
}

/** Whose figures a click asks for; none on the flight. */
function wanted_of(found: Found): Wanted | null {
  switch (found.kind) {
    case "station":
      return { kind: "station", ident: found.station.ident };
    case "airway":
      return { kind: "airway", ident: found.airway.designator, row: `${found.airway.from} to ${found.airway.to}` };
    case "marker":
      return { kind: "station", ident: found.marker.localizer, row: `${found.marker.kind.replace("_", " ")} marker` };
    case "fix":
    case "airport":
      return { kind: found.kind, ident: found.ident };
    default:
      return null;
  }
}

const says_of = (found: Found): string => (found.kind === "flight" ? `step ${found.step}, ${found.at_nm.toFixed(1)} NM along, ${clock_of(found.at_s)}` : "");

/** The places of the airports that are named. */
const ends_of = (chart: ChartDocument, idents: readonly string[]) => chart.airports.filter((one) => idents.includes(one.ident)).map((one) => one.place);

export function ChartView(props: Props) {
  const { region, chart, ribbon, cursor, aircraft, overlay, fitted_to, picked, pick, night, layers, set_layers, cruise_ft, drawn, pressed_station, between, choices, take, kept, moved, paper } = props;
  const box = useRef<HTMLDivElement>(null);
  const [map, set_map] = useState<ChartMap | null>(null);
  const [found, set_found] = useState<Found | null>(null);
  const [wanted, set_wanted] = useState<Wanted | null>(null);
  const seen = useRef(false);
  // Where it stands as it was told last, to tell what comes from the address bar from what goes there.
  const stands = useRef(kept);
  const tell_moved = (to: ChartPlace | null) => {
    stands.current = to;
    moved(to);
  };
  const now_moved = useRef(tell_moved);
  now_moved.current = tell_moved;
  const told = useRef((_: Found | null) => {});
  told.current = (one) => {
    if (one && take?.(one)) return;
    set_found(one);
    // Where stations are pressed to be named in a reading, their figures would lie over it.
    if (one?.kind === "station" && pressed_station) pressed_station(one.station);
    else set_wanted(one && wanted_of(one));
    if (one?.kind === "flight") {
      cursor.move(one.at_s);
      pick(one.step);
    }
  };

  const inks = useMemo(() => raster_inks(night), [night, map]);
  const told_of = useLayers(map, layers, cruise_ft, inks);

  useEffect(() => {
    if (!box.current) return;
    const made = new ChartMap(box.current, region, inks_of(box.current), (one) => told.current(one), (to) => now_moved.current(to));
    set_map(made);
    seen.current = false;
    stands.current = kept;
    if (kept) made.stand_at(kept);
    return () => made.close();
  }, [region]);
  useEffect(() => {
    if (map && chart) map.show_chart(chart);
  }, [map, chart]);
  useEffect(() => {
    if (!map) return;
    if (ribbon) {
      // While a route is being built the chart stays where it is; where one is to be found it stands about that, whichever comes first.
      map.show_flight(ribbon, !take && !kept && fitted_to === "flight");
      seen.current ||= !take || kept !== null;
    } else {
      map.show_no_flight();
    }
    map.when_drawn(drawn);
  }, [map, ribbon]);
  const building = take !== null;
  useEffect(() => {
    if (!map || !chart || !building || seen.current || kept) return;
    map.show_all_of(ends_of(chart, between));
    seen.current = true;
  }, [map, chart, building]);
  useEffect(() => map?.show_choices(choices), [map, choices]);
  useEffect(() => map?.pick(picked), [map, picked]);
  useEffect(() => {
    if (map && box.current) map.set_inks(inks_of(box.current));
  }, [map, night]);
  useEffect(() => {
    if (!map) return;
    if (!aircraft) return map.no_aircraft();
    return aircraft.cursor.watch((at_s) => map.move_cursor(aircraft.samples, at_s));
  }, [map, aircraft]);
  useEffect(() => {
    if (!map) return;
    map.show_overlay(overlay);
    if (fitted_to === "overlay" && !kept) map.whole_overlay();
  }, [map, overlay, fitted_to]);
  const was_fitted_to = useRef(fitted_to);
  useEffect(() => {
    if (was_fitted_to.current !== fitted_to && fitted_to === "flight" && !kept) map?.whole_flight();
    was_fitted_to.current = fitted_to;
  }, [map, fitted_to]);
  useEffect(() => {
    if (!map || same_place(kept, stands.current)) return;
    stands.current = kept;
    if (kept) map.stand_at(kept);
    else if (fitted_to === "overlay") map.whole_overlay();
    else if (ribbon) map.whole_flight();
    else map.show_all_of(chart ? ends_of(chart, between) : []);
  }, [map, kept]);
  const whole = () => {
    if (ribbon) map?.whole_flight();
    else map?.show_all_of([]);
    tell_moved(null);
  };

  useEffect(() => {
    const rasters = [told_of.ground.raster, told_of.heard.raster].filter((raster) => raster !== null);
    const seen_px = box.current?.clientWidth ?? 0;
    paper.current = { rasters, draw: (size) => drawn_for_paper({ region, chart, ribbon, overlay, fitted_to, picked, rasters, stands: kept && { ...kept, seen_px } }, size) };
    return () => {
      paper.current = null;
    };
  });

  const go = (one: SearchFound) => {
    if (one.place) map?.go_to(one.place);
    set_wanted({ kind: one.kind, ident: one.ident });
  };

  return (
    <section class="chart" aria-label="Chart">
      <div class="chart-head">
        <SearchField go={go} />
      </div>
      <div class="chart-middle">
      <div class="chart-box" ref={box} tabIndex={0} role="application" aria-label="Chart: arrows move it, plus and minus zoom" />
        {wanted && <FiguresView key={wanted.ident} wanted={wanted} close={() => set_wanted(null)} />}
      </div>
      <div class="chart-foot">
        <Legend ribbon={ribbon} overlay={overlay} />
        <button type="button" onClick={whole}>
          {ribbon ? "whole flight" : "whole region"}
        </button>
      </div>
      <div class="chart-layers">
        <LayersBox layers={layers} cruise_ft={cruise_ft} set={set_layers} />
        {[told_of.ground, told_of.heard].map((told) => (
          <>
            {told.raster && <RasterLegend raster={told.raster} inks={inks} />}
            {told.fault && <p role="alert">{told.fault}</p>}
          </>
        ))}
      </div>
      <p class="found" role="status">
        {found ? says_of(found) : ""}
      </p>
    </section>
  );
}
