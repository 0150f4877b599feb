import type { CardCardRadios, CardCardStep, CardDocument } from "../api/generated";
import { frequency, three } from "../card/radios_table";
import { clock_of } from "../flight/clock";

const course = (degrees: number | null) => (degrees === null ? "" : three(degrees));
const whole = (figure: number | null) => (figure === null ? "?" : figure.toFixed(0));

/** How the sets stand, a line for each; heavy what guides. */
function Sets(props: { radios: CardCardRadios }) {
  const { receivers, distance, adf } = props.radios;
  return (
    <ul class="sets">
      {receivers.map(
        ({ number, role, active, course_deg }) =>
          active && (
            <li class={role}>
              NAV{number} {active.ident} {frequency(active)} {course(course_deg)}
            </li>
          ),
      )}
      {distance?.of && <li>DME {distance.of.ident}</li>}
      {adf?.aid && (
        <li>
          ADF {adf.aid.ident} {frequency(adf.aid)}
        </li>
      )}
    </ul>
  );
}

function StepRow(props: { step: CardCardStep }) {
  const { step } = props;
  const { expected } = step;
  return (
    <tr data-step={step.number}>
      <th scope="row">{step.number}</th>
      <td>
        <b>{step.guidance.says}</b>
        <p>until {step.end.says}</p>
        {step.check && <p>check: {step.check.says}</p>}
      </td>
      <td>{step.heights.says}</td>
      <td>
        <Sets radios={step.radios} />
      </td>
      <td>{course(expected.course_magnetic_deg)}</td>
      <td>{course(expected.heading_magnetic_deg)}</td>
      <td>{whole(expected.distance_nm)}</td>
      <td>{expected.time_s === null ? "?" : clock_of(expected.time_s)}</td>
      <td>{whole(expected.groundspeed_kt)}</td>
      <td />
    </tr>
  );
}

/** Steps that are flown by the same airway or procedure, in their order. */
function by_way(steps: readonly CardCardStep[]): Array<{ readonly via: string; readonly steps: CardCardStep[] }> {
  const ways: Array<{ via: string; steps: CardCardStep[] }> = [];
  for (const step of steps) {
    const via = step.via || step.phase;
    if (ways.at(-1)?.via === via) ways.at(-1)!.steps.push(step);
    else ways.push({ via, steps: [step] });
  }
  return ways;
}

/** The card as a table: what guides, what ends it, how high, how the sets stand, what to expect, and room for the time over it. No row is broken between two sheets. */
export function StepsTable(props: { card: CardDocument }) {
  const { card } = props.card;
  return (
    <section>
      <h2>Steps</h2>
      <table class="steps-table">
        <thead>
          <tr>
            <th scope="col" />
            <th scope="col">Fly</th>
            <th scope="col">Height</th>
            <th scope="col">Sets</th>
            <th scope="col">Crs</th>
            <th scope="col">Hdg</th>
            <th scope="col">NM</th>
            <th scope="col">Time</th>
            <th scope="col">kt</th>
            <th scope="col">Over</th>
          </tr>
        </thead>
        <tbody>
          <tr>
            <th />
            <td>lined up</td>
            <td />
            <td>
              <Sets radios={card.lined_up} />
            </td>
            <td colSpan={6} />
          </tr>
        </tbody>
        {by_way([...card.steps, ...card.missed]).map(({ via, steps }) => (
          <tbody>
            <tr class="way">
              <th scope="rowgroup" colSpan={10}>
                {via}
              </th>
            </tr>
            {steps.map((step) => (
              <StepRow step={step} />
            ))}
          </tbody>
        ))}
      </table>
    </section>
  );
}
