import "ol/ol.css";
import { useEffect, useRef, useState } from "preact/hooks";
import type { AboutDocument, ChartDocument, ChartStation, PanelDocument, RibbonDocument } from "../api/pictures";
import { clock_of } from "../flight/clock";
import type { Cursor } from "../flight/cursor";
import { guidance_line } from "../flight/guidance_line";
import { ChartMap, type Found } from "./chart_map";
import type { Overlay } from "./overlay";
import type { Inks } from "./symbols";

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
  readonly drawn: () => void;
  /** A station was pressed. */
  readonly pressed_station?: ((station: ChartStation) => void) | undefined;
}

/** The inks of the page as its style sheet has them now. */
function inks_of(element: Element): Inks {
  const style = getComputedStyle(element);
  const ink = (name: string) => style.getPropertyValue(name).trim();
  return { paper: ink("--paper"), ink: ink("--ink"), soft: ink("--soft"), faint: ink("--faint"), land: ink("--land"), shore: ink("--shore") };
}

function says_of(found: Found): string {
  switch (found.kind) {
    case "station": {
      const { station } = found;
      return `${station.says} ${station.ident} ${station.name} ${station.frequency}, ${station.morse}`;
    }
    case "airway": {
      const { airway } = found;
      const minimum = airway.minimum_msl_ft === null ? "no minimum published" : `minimum ${airway.minimum_msl_ft} ft`;
      return `${airway.designator}${airway.area_navigation_only ? " (RNAV only)" : ""} from ${airway.from} to ${airway.to}, ${airway.distance_nm.toFixed(1)} NM, ${minimum}`;
    }
    case "fix":
      return found.ident;
    case "airport":
      return `${found.ident} ${found.name}`;
    case "flight":
      return `step ${found.step}, ${found.at_nm.toFixed(1)} NM along, ${clock_of(found.at_s)}`;
  }
}

function Legend(props: { ribbon: RibbonDocument | null; overlay: Overlay }) {
  const kinds = [...new Map((props.ribbon?.steps ?? []).map((step) => [guidance_line(step.guidance).says, guidance_line(step.guidance)])).values()];
  return (
    <ul class="legend" aria-label="How the route is drawn">
      {kinds.map((line) => (
        <li>
          <svg width="46" height="8" aria-hidden="true">
            <line class="route" x1="1" x2="45" y1="4" y2="4" stroke-dasharray={line.dashes.join(" ")} />
          </svg>
          {line.says}
        </li>
      ))}
      {props.overlay.lines.length > 0 && (
        <li>
          <svg width="46" height="8" aria-hidden="true">
            <path class="hollow" d="M1,2H45M1,6H45" />
          </svg>
          flown
        </li>
      )}
      {props.overlay.areas.map((area) => (
        <li>
          <svg width="24" height="12" aria-hidden="true">
            <rect class={`region ${area.within}`} x="1" y="1" width="22" height="10" />
          </svg>
          {area.within === "half" ? "here with 50 %" : "with 95 %"}
        </li>
      ))}
    </ul>
  );
}

export function ChartView(props: Props) {
  const { region, chart, ribbon, cursor, aircraft, overlay, fitted_to, picked, pick, night, drawn, pressed_station } = props;
  const box = useRef<HTMLDivElement>(null);
  const [map, set_map] = useState<ChartMap | null>(null);
  const [found, set_found] = useState<Found | null>(null);
  const told = useRef((_: Found | null) => {});
  told.current = (one) => {
    set_found(one);
    if (one?.kind === "station") pressed_station?.(one.station);
    if (one?.kind === "flight") {
      cursor.move(one.at_s);
      pick(one.step);
    }
  };

  useEffect(() => {
    if (!box.current) return;
    const made = new ChartMap(box.current, region, inks_of(box.current), (one) => told.current(one));
    set_map(made);
    return () => made.close();
  }, [region]);
  useEffect(() => {
    if (map && chart) map.show_chart(chart);
  }, [map, chart]);
  useEffect(() => {
    if (!map) return;
    if (ribbon) map.show_flight(ribbon);
    else map.show_no_flight();
    map.when_drawn(drawn);
  }, [map, ribbon]);
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
    if (fitted_to === "overlay") map.whole_overlay();
  }, [map, overlay, fitted_to]);
  const was_fitted_to = useRef(fitted_to);
  useEffect(() => {
    if (was_fitted_to.current !== fitted_to && fitted_to === "flight") map?.whole_flight();
    was_fitted_to.current = fitted_to;
  }, [map, fitted_to]);

  return (
    <section class="chart" aria-label="Chart">
      <div class="chart-box" ref={box} tabIndex={0} role="application" aria-label="Chart: arrows move it, plus and minus zoom" />
      <div class="chart-foot">
        <Legend ribbon={ribbon} overlay={overlay} />
        {ribbon && (
          <button type="button" onClick={() => map?.whole_flight()}>
            whole flight
          </button>
        )}
      </div>
      <p class="found" role="status">
        {found ? says_of(found) : ""}
      </p>
    </section>
  );
}
