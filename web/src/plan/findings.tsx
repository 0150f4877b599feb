import type { ComponentChildren } from "preact";
import type { PlanDocument } from "../api/generated";
import { as_labelled } from "../flight/as_labelled";

const shown_at_once = 3;

interface Found {
  readonly grade: string;
  readonly about: string;
  readonly text: string;
  readonly remedy?: string;
  readonly step?: number | null;
}

/** One thing that was found; without `pick` its step is not offered. */
export function Finding(props: { finding: Found; pick?: (step: number) => void }) {
  const { grade, about, text, remedy, step } = props.finding;
  const { pick } = props;
  return (
    <li class={`finding ${grade}`}>
      <span class="grade">{grade}</span>
      <span>
        {about && <b>{about} </b>}
        {as_labelled(text)}
        {remedy && <i> Would help: {as_labelled(remedy)}.</i>}
      </span>
      {pick && typeof step === "number" && (
        <button type="button" onClick={() => pick(step)}>
          step {step}
        </button>
      )}
    </li>
  );
}

/** Three that matter, the rest on request: they come ranked, the heaviest first. On paper nothing can be asked for. */
export function Ranked(props: { title: string; findings: readonly Found[]; pick: (step: number) => void; all?: boolean }) {
  const { title, findings, pick, all = false } = props;
  const at_once = all ? findings.length : shown_at_once;
  if (findings.length === 0) return null;
  const list = (some: readonly Found[]) => (
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
