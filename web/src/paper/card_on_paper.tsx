import type { CardDocument } from "../api/generated";
import { RadiosTable } from "../card/radios_table";
import { StepText } from "../card/step_text";
import type { InWords } from "./flight_in_words";
import { Sheets } from "./sheets";

/** The card for the knee: every step whole, none broken between two sheets. */
export function CardOnPaper(props: { card: CardDocument; words: InWords }) {
  const { card, words } = props;
  const { steps, missed, lined_up } = card.card;
  return (
    <Sheets {...words} caution={card.caution}>
      <h1>{card.request.route}</h1>
      <div class="card-steps">
        <article class="step-text">
          <h3>lined up</h3>
          <div class="radios-say">
            <span class="word">radios</span>
            <RadiosTable radios={lined_up} />
          </div>
        </article>
        {[...steps, ...missed].map((step) => (
          <StepText step={step} level={3} />
        ))}
      </div>
    </Sheets>
  );
}
