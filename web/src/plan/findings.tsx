import type { ComponentChildren } from "preact";
import type { PlanDocument, PlanFinding } from "../api/generated";
import { as_labelled } from "../flight/as_labelled";

const shown_at_once = 3;

function Finding(props: { finding: PlanFinding; pick: (step: number) => void }) {
  const { finding, pick } = props;
  return (
    <li class={`finding ${finding.grade}`}>
      <span class="grade">{finding.grade}</span>
      <span>
        <b>{finding.about}</b> {as_labelled(finding.text)}
        {finding.remedy && <i> Would help: {as_labelled(finding.remedy)}.</i>}
      </span>
      {finding.step !== undefined && (
        <button type="button" onClick={() => pick(finding.step!)}>
          step {finding.step}
        </button>
      )}
    </li>
  );
}

/** Three that matter, the rest on request: they come ranked, the heaviest first. On paper nothing can be asked for. */
export function Ranked(props: { title: string; findings: readonly PlanFinding[]; pick: (step: number) => void; all?: boolean }) {
  const { title, findings, pick, all = false } = props;
  const at_once = all ? findings.length : shown_at_once;
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
      {list(findings.slice(0, at_once))}
      {findings.length > at_once && (
        <details>
          <summary>{findings.length - at_once} more</summary>
          {list(findings.slice(at_once))}
        </details>
      )}
    </section>
  );
}

export function WouldUnblock(props: { changes: readonly string[] }) {
  if (props.changes.length === 0) return null;
  return (
    <section>
      <h2>What would unblock it</h2>
      <ul>
        {props.changes.map((change) => (
          <li>{as_labelled(change)}</li>
        ))}
      </ul>
    </section>
  );
}

/** What stands beside the pictures: what is found about the flight, the other flights (its children), and what was refused with its reason. */
export function Told(props: { plan: PlanDocument; pick: (step: number) => void; children: ComponentChildren }) {
  const { plan, pick, children } = props;
  return (
    <div class="told">
      <Ranked title="Findings" findings={plan.findings} pick={pick} />
      <WouldUnblock changes={plan.would_unblock} />
      <Ranked title="Refused" findings={plan.refused} pick={pick} />
      {children}
      <p class="caution">{plan.caution}</p>
    </div>
  );
}
