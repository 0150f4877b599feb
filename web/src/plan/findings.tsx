import type { PlanDocument, PlanFinding } from "../api/generated";
import { number_of_other } from "./choice";

const shown_at_once = 3;

function Finding(props: { finding: PlanFinding; pick: (step: number) => void }) {
  const { finding, pick } = props;
  return (
    <li class={`finding ${finding.grade}`}>
      <span class="grade">{finding.grade}</span>
      <span>
        <b>{finding.about}</b> {finding.text}
        {finding.remedy && <i> Would help: {finding.remedy}.</i>}
      </span>
      {finding.step !== undefined && (
        <button type="button" onClick={() => pick(finding.step!)}>
          step {finding.step}
        </button>
      )}
    </li>
  );
}

/** Three that matter, the rest on request: they come ranked, the heaviest first. */
function Ranked(props: { title: string; findings: readonly PlanFinding[]; pick: (step: number) => void }) {
  const { title, findings, pick } = props;
  if (findings.length === 0) return null;
  const list = (some: readonly PlanFinding[]) => (
    <ul>
      {some.map((finding) => (
        <Finding finding={finding} pick={pick} />
      ))}
    </ul>
  );
  return (
    <section>
      <h2>{title}</h2>
      {list(findings.slice(0, shown_at_once))}
      {findings.length > shown_at_once && (
        <details>
          <summary>{findings.length - shown_at_once} more</summary>
          {list(findings.slice(shown_at_once))}
        </details>
      )}
    </section>
  );
}

type Costs = NonNullable<PlanDocument["costs"]>;

/** Three costs, side by side and never added. */
function CostCells(props: { costs: Costs }) {
  const { costs } = props;
  const margins = [
    [costs.reception_share, costs.reception_at],
    [costs.fix_share, costs.fix_at],
    [costs.width_share, costs.width_at],
  ] as const;
  const tightest = margins.find(([share]) => share === costs.margin_share);
  return (
    <>
      <td>{costs.time_min.toFixed(0)} min</td>
      <td>{costs.work_points.toFixed(0)} points</td>
      <td>
        {Math.round(costs.margin_share * 100)} % <span class="at">{tightest?.[1]}</span>
      </td>
    </>
  );
}

function Others(props: { plan: PlanDocument; chosen: number; choose: (number: number) => void }) {
  const { plan, chosen, choose } = props;
  if (plan.others.length === 0) return null;
  return (
    <section class="others">
      <h2>Other flights</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">How it differs</th>
            <th scope="col">Time</th>
            <th scope="col">Work</th>
            <th scope="col">Tightest margin</th>
            <th scope="col" aria-label="Choose" />
          </tr>
        </thead>
        <tbody>
          {plan.costs && (
            <tr>
              <td>
                <b>{plan.flight?.route}</b> this flight
              </td>
              <CostCells costs={plan.costs} />
              <td />
            </tr>
          )}
          {plan.others.map((other, index) => (
            <tr>
              <td>
                <b>{other.route}</b> {other.difference}
              </td>
              <CostCells costs={other.costs} />
              <td>
                <button type="button" onClick={() => choose(number_of_other(index, chosen))}>
                  take it
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** What stands beside the pictures: what is found about the flight, the other flights, and what was refused with its reason. */
export function Told(props: { plan: PlanDocument; pick: (step: number) => void; chosen: number; choose: (number: number) => void }) {
  const { plan, pick, chosen, choose } = props;
  return (
    <div class="told">
      <Ranked title="Findings" findings={plan.findings} pick={pick} />
      {plan.would_unblock.length > 0 && (
        <section>
          <h2>What would unblock it</h2>
          <ul>
            {plan.would_unblock.map((change) => (
              <li>{change}</li>
            ))}
          </ul>
        </section>
      )}
      <Others plan={plan} chosen={chosen} choose={choose} />
      <Ranked title="Refused" findings={plan.refused} pick={pick} />
      <p class="caution">{plan.caution}</p>
    </div>
  );
}
