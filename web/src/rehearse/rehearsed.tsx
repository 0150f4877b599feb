import type { RehearseDocument } from "../api/generated";
import { chance_says, interval_says, percent } from "./shares";

type Found = NonNullable<RehearseDocument["rehearsal"]>;
type Weak = Found["weak_points"][number];

const shown_at_once = 3;

/** Without the step at its beginning, where that stands beside it. */
const without_step = (says: string) => says.replace(/^step \d+: /, "").replace(/^step \d+ to /, "to ");

/** Flights that are looked at for the same reason, in the order the service gives. */
function by_reason(examples: Found["examples"]): Map<string, number[]> {
  const reasons = new Map<string, number[]>();
  for (const { why, flight } of examples) reasons.set(why, [...(reasons.get(why) ?? []), flight]);
  return reasons;
}

/** How many ended as meant, and what became of the others. */
export function Outcome(props: { found: Found; no_runway: boolean }) {
  const { found, no_runway } = props;
  const asked = no_runway ? found.missed_flown : found.arrived;
  return (
    <div class="outcome">
      <p class="chance">
        <b>{chance_says(asked)}</b> {no_runway ? "flew the missed approach to its end" : "ended as meant, the runway in sight"}
        <span>
          {asked.did.toLocaleString("en")} of {asked.of.toLocaleString("en")}; 95 in 100 times between {interval_says(asked)}
        </span>
      </p>
      <ul class="others-ended">
        {found.failed.map((one) => (
          <li>
            {one.outcome} <b>{one.flights.toLocaleString("en")}</b>
          </li>
        ))}
        {found.time_50_percent_min !== null && (
          <li>
            half within <b>{found.time_50_percent_min.toFixed(0)} min</b>, 95 % within <b>{found.time_95_percent_min?.toFixed(0)} min</b>
            {found.time_on_card_min !== null && `; the card ${found.time_on_card_min.toFixed(0)}`}
          </li>
        )}
      </ul>
    </div>
  );
}

/** What goes wrong most: three that matter, the rest on request. On paper nothing can be asked for. */
export function WeakPoints(props: { weak: readonly Weak[]; pick: (step: number) => void; all?: boolean }) {
  const { weak, pick, all = false } = props;
  const at_once = all ? weak.length : shown_at_once;
  const list = (points: readonly Weak[]) => (
    <ol>
      {points.map((point) => (
        <li class="weak-point">
          <b>{percent(point.of_all_share)} %</b>
          <span>{without_step(point.says)}</span>
          <button type="button" onClick={() => pick(point.step)}>
            step {point.step}
          </button>
        </li>
      ))}
    </ol>
  );
  return (
    <section aria-label="Weak points">
      <h2>Weak points</h2>
      {weak.length === 0 && <p>None: nothing went wrong in any flight.</p>}
      {list(weak.slice(0, at_once))}
      {weak.length > at_once && (
        <details>
          <summary>{weak.length - at_once} more</summary>
          {list(weak.slice(at_once))}
        </details>
      )}
    </section>
  );
}

/** Flights worth looking at again, and any other by its number. */
export function Again(props: { examples: Found["examples"]; most: number; replayed: number | null; replay: (flight: number) => void }) {
  const { examples, most, replayed, replay } = props;
  return (
    <section aria-label="Flown again">
      <h2>Look at a flight again</h2>
      <ul class="examples">
        {[...by_reason(examples)].map(([why, flights]) => (
          <li>
            <span>{why}</span>
            <span class="numbers">
              {flights.map((flight) => (
                <button type="button" aria-pressed={flight === replayed} aria-label={`flight ${flight}, ${why}`} onClick={() => replay(flight)}>
                  {flight}
                </button>
              ))}
            </span>
          </li>
        ))}
        <li>
          <form
            class="by-number"
            onSubmit={(event) => {
              event.preventDefault();
              replay(Number(new FormData(event.currentTarget).get("flight")));
            }}
          >
            <label>
              flight <input name="flight" type="number" required min={1} max={most} defaultValue={replayed === null ? "" : String(replayed)} />
            </label>
            <button type="submit">fly it again</button>
          </form>
        </li>
      </ul>
    </section>
  );
}

type Step = Found["steps"][number];

const miles = (value: number | null) => (value === null ? "" : value.toFixed(1));
const rare = (chance: Step["dead_needle"]) => (chance.did === 0 ? "" : chance_says(chance));

function StepRow(props: { step: Step; weak: readonly Weak[]; pick: (step: number) => void }) {
  const { step, weak, pick } = props;
  return (
    <tr class={weak.length > 0 ? "weak" : ""}>
      <th scope="row">
        <button type="button" onClick={() => pick(step.number)} aria-label={`step ${step.number}`}>
          {step.number}
        </button>{" "}
        {step.to}
      </th>
      <td>
        {chance_says(step.as_meant)} <span class="at">{step.as_meant.of > 0 && interval_says(step.as_meant)}</span>
      </td>
      <td>{miles(step.aside_50_percent_nm)}</td>
      <td>{miles(step.aside_95_percent_nm)}</td>
      <td>{step.aside_95_percent_nm === null ? "" : `${percent(step.inside_primary_share)} %`}</td>
      <td>{miles(step.missed_by_95_percent_nm)}</td>
      <td>{rare(step.dead_needle)}</td>
      <td>{rare(step.below_minimum)}</td>
      <td>{rare(step.unidentified)}</td>
      <td class="why">
        {weak.map((point) => (
          <p>
            <b>{percent(point.of_all_share)} %</b> {without_step(point.says)}
          </p>
        ))}
      </td>
    </tr>
  );
}

/** Every step of the card with how it was held over all flights, and what is weak in it. */
export function StepsRehearsed(props: { found: Found; pick: (step: number) => void }) {
  const { found, pick } = props;
  const rows = (steps: readonly Step[]) =>
    steps.map((step) => <StepRow step={step} weak={found.weak_points.filter((point) => point.step === step.number)} pick={pick} />);
  return (
    <section class="by-step" aria-label="By step">
      <h2>By step</h2>
      <div class="scrolls" tabIndex={0} role="region" aria-label="Table by step">
        <table>
          <thead>
            <tr>
              <th scope="col">Step to</th>
              <th scope="col">Ends as meant</th>
              <th scope="col">Aside, NM 50 %</th>
              <th scope="col">95 %</th>
              <th scope="col">Inner width</th>
              <th scope="col">Missed by, NM 95 %</th>
              <th scope="col">Dead needle</th>
              <th scope="col">Too low</th>
              <th scope="col">No ident</th>
              <th scope="col">What is weak</th>
            </tr>
          </thead>
          <tbody>{rows(found.steps)}</tbody>
          {found.missed_steps.length > 0 && (
            <tbody>
              <tr>
                <th scope="rowgroup" colSpan={10}>
                  missed approach
                </th>
              </tr>
              {rows(found.missed_steps)}
            </tbody>
          )}
        </table>
      </div>
    </section>
  );
}
