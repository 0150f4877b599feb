import type { CardCardStep } from "../api/generated";
import { RadiosTable } from "./radios_table";

type Part = { readonly says: string };

const says_each = (parts: readonly Part[]) => parts.map((part) => <li>{part.says}</li>);

/** A step as the card has it, in the card's own order: what guides, what ends it, heights, radios, work, check, notes. */
export function StepText(props: { step: CardCardStep; level: 2 | 3 }) {
  const { step } = props;
  const Title = props.level === 2 ? "h2" : "h3";
  return (
    <article class="step-text" data-step={step.number}>
      <Title>
        <span class="number">{step.number}</span> {step.guidance.says}
      </Title>
      <p class="until">
        <span class="word">until</span> {step.end.says}
      </p>
      <p class="height">
        <span class="word">height</span> {step.heights.says}
      </p>
      <div class="radios-say">
        <span class="word">radios</span>
        <RadiosTable radios={step.radios} />
      </div>
      {step.work.length > 0 && (
        <div class="work">
          <span class="word">do</span>
          <ul>{says_each(step.work)}</ul>
        </div>
      )}
      {step.check && (
        <p class="check">
          <span class="word">check</span> {step.check.says}
        </p>
      )}
      {step.expected.notices.length > 0 && (
        <div class="notices">
          <span class="word">note</span>
          <ul>{says_each(step.expected.notices)}</ul>
        </div>
      )}
    </article>
  );
}
