import type { ComponentChildren } from "preact";
import type { PlanDocument } from "../api/generated";
import { Finding } from "../plan/findings";
import { offered, type Offered, tightest_at } from "./flights";

interface Props {
  readonly plan: PlanDocument;
  readonly chosen: number;
  readonly choose: (number: number) => void;
  /** Asks for other flights beside this one. */
  readonly compare: () => void;
}

const shown_at_once = 3;

function FindingsOf(props: { flight: Offered }) {
  const { findings } = props.flight;
  const weighs = findings.filter((finding) => finding.grade !== "notes");
  const line = ({ grade, about, text }: (typeof findings)[number]) => <Finding finding={{ grade, about, text }} />;
  const rest = [...weighs.slice(shown_at_once), ...findings.filter((finding) => finding.grade === "notes")];
  return (
    <>
      <ul>{weighs.slice(0, shown_at_once).map(line)}</ul>
      {rest.length > 0 && (
        <details>
          <summary>{rest.length} more</summary>
          <ul>{rest.map(line)}</ul>
        </details>
      )}
    </>
  );
}

const feet = (altitude_ft: number | null) => (altitude_ft === null ? "not known" : `${altitude_ft.toLocaleString("en")} ft`);

/** What is set side by side, row by row; costs first, never added. */
const rows: ReadonlyArray<readonly [title: string, cell: (flight: Offered) => ComponentChildren]> = [
  [
    "How it differs",
    (flight) => (
      <ul class="sentences">
        {flight.differences.map((sentence) => (
          <li>{sentence}</li>
        ))}
      </ul>
    ),
  ],
  ["Time", (flight) => `${flight.costs.time_min.toFixed(0)} min`],
  ["Work", (flight) => `${flight.costs.work_points.toFixed(0)} points`],
  [
    "Tightest margin",
    (flight) => (
      <>
        {Math.round(flight.costs.margin_share * 100)} % <span class="at">{tightest_at(flight.costs)}</span>
      </>
    ),
  ],
  ["Distance", (flight) => `${flight.distance_nm.toFixed(0)} NM`],
  ["Cruise", (flight) => feet(flight.cruise_msl_ft)],
  ["Highest minimum", (flight) => feet(flight.outline.highest_minimum_msl_ft)],
  ["By heading alone", (flight) => `${flight.outline.dead_reckoning_nm.toFixed(1)} NM`],
  ["Airways", (flight) => flight.outline.airways.join(", ") || "none"],
  ["Stations", (flight) => flight.outline.stations.join(", ")],
  ["Take-off", (flight) => flight.outline.departs],
  ["Landing", (flight) => [flight.outline.lands, flight.approach].filter((part) => part !== "").join(", ")],
  ["Findings", (flight) => <FindingsOf flight={flight} />],
];

function Table(props: { flights: readonly Offered[]; choose: (number: number) => void }) {
  const { flights, choose } = props;
  return (
    <div class="side-by-side" role="region" aria-label="Flights side by side" tabIndex={0}>
      <table>
        <thead>
          <tr>
            <td />
            {flights.map((flight) => (
              <th scope="col" class={flight.is_this ? "this-flight" : ""}>
                <span class="number">{flight.number}</span> {flight.route}
                <span class={`verdict-word ${flight.verdict.replaceAll(" ", "-")}`}>{flight.verdict}</span>
                {flight.is_this ? (
                  <span class="chosen">this flight</span>
                ) : (
                  <button type="button" aria-label={`Take flight ${flight.number}`} onClick={() => choose(flight.number)}>
                    take it
                  </button>
                )}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(([title, cell]) => (
            <tr>
              <th scope="row">{title}</th>
              {flights.map((flight) => (
                <td class={flight.is_this ? "this-flight" : ""}>{cell(flight)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** The flights that are offered, side by side: how they differ in plain sentences, what each costs and what was found of it. */
export function CompareView(props: Props) {
  const { plan, chosen, choose, compare } = props;
  const flights = offered(plan, chosen);
  if (!plan.flight) return null;
  return (
    <section class="compare" aria-label="Compare">
      <h2>Compare</h2>
      {flights.length > 1 && <Table flights={flights} choose={choose} />}
      {flights.length === 1 && <p>No other flight is better in time, work or margin and another way.</p>}
      {plan.choices_cut_short && <p>The search for others came to its bound: some may be missing.</p>}
      {flights.length === 0 && (
        <button type="button" onClick={compare}>
          Compare with other flights
        </button>
      )}
    </section>
  );
}
