import type { CardDocument, PlanDocument } from "../api/generated";
import type { PlanQuestion } from "../api/service";
import { constraints_in_words } from "../flight/constraints";

/** The flight as the head of a sheet has it: from where to where, and what it was planned for. */
export interface InWords {
  readonly title: string;
  readonly figures: readonly string[];
}

type Request = CardDocument["request"];

const two = (speed: number) => String(Math.round(speed)).padStart(2, "0");
const three = (degrees: number) => String(Math.round(degrees) % 360 || 360).padStart(3, "0");

/** As it was planned with; where it is one wind for all heights, without them. */
export function wind_says(winds: Request["winds"]): string {
  if (winds.length === 0) return "no wind";
  const says = winds.map((wind) => `${three(wind.from_true_deg)}/${two(wind.speed_kt)}`);
  return winds.length === 1 ? `wind ${says[0]}` : `wind ${winds.map((wind, index) => `${wind.altitude_msl_ft.toLocaleString("en")} ft ${says[index]}`).join(", ")}`;
}

/** Of a card alone. */
export const card_in_words = ({ request }: CardDocument): InWords => ({ title: `${request.from} to ${request.to}`, figures: [request.aircraft, wind_says(request.winds)] });

/** Of what was asked, with what came of it as far as it has come. */
export function flight_in_words(question: PlanQuestion, plan: PlanDocument | null, card: CardDocument | null, today: string): InWords {
  const named = ({ ident, name }: { readonly ident: string; readonly name: string }) => `${ident} ${name}`;
  return {
    title: plan ? `${named(plan.from)} to ${named(plan.to)}` : `${question.from} to ${question.to}`,
    figures: [
      card?.request.aircraft ?? plan?.aircraft ?? question.aircraft ?? "",
      card ? wind_says(card.request.winds) : question.wind ? `wind ${question.wind}` : "",
      question.date ?? today,
      ...constraints_in_words(question),
    ].filter((figure) => figure !== ""),
  };
}
