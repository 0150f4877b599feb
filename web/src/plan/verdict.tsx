import type { ComponentChildren } from "preact";
import type { JudgeDocument, PlanDocument } from "../api/generated";

const minutes_says = (minutes: number | null) =>
  minutes === null ? "time unknown" : `${Math.floor(minutes / 60)}:${String(Math.round(minutes) % 60).padStart(2, "0")}`;

/** The same of a route by hand. */
export function VerdictByHand(props: { judged: JudgeDocument }) {
  const { judged } = props;
  return (
    <section class="verdict" aria-label="Answer">
      <h1>
        <span class={`word ${judged.verdict.replaceAll(" ", "-")}`}>{judged.verdict}</span>
        <span class="route-says">{judged.route}</span>
      </h1>
      <p class="figures">
        <span>{judged.cruise_altitude_msl_ft.toLocaleString("en")} ft</span>
        <span>{judged.distance_nm.toFixed(0)} NM</span>
        <span>{minutes_says(judged.time_min)}</span>
        <span>{judged.fuel_lb.toFixed(0)} lb</span>
        <span>off {judged.departure_runway}</span>
        <span>{judged.approach || "no approach"}</span>
      </p>
    </section>
  );
}

/** The answer in a line: whether it can be flown, which way, and what it takes. */
export function Verdict(props: { plan: PlanDocument; children?: ComponentChildren }) {
  const { flight, verdict, from, to } = props.plan;
  return (
    <section class="verdict" aria-label="Answer">
      <h1>
        <span class={`word ${verdict.replaceAll(" ", "-")}`}>{verdict}</span>
        <span class="route-says">{flight ? flight.route : `${from.ident} ${from.name} to ${to.ident} ${to.name}`}</span>
      </h1>
      {flight && (
        <p class="figures">
          <span>{flight.cruise_altitude_msl_ft.toLocaleString("en")} ft</span>
          <span>{flight.distance_nm.toFixed(0)} NM</span>
          <span>{minutes_says(flight.time_min)}</span>
          {flight.fuel_lb !== null && <span>{flight.fuel_lb.toFixed(0)} lb</span>}
          <span>off {flight.departure_runway.ident}</span>
          <span>{flight.approach || "no approach"}</span>
        </p>
      )}
      {props.children}
    </section>
  );
}
