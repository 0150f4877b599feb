import type { CardDocument } from "../api/generated";
import * as service from "../api/service";

/** Puts the card among what the browser has downloaded, as one page that needs no service. */
export async function keep_card(card: CardDocument): Promise<void> {
  const page = URL.createObjectURL(await service.card_page(card));
  const link = document.createElement("a");
  link.href = page;
  link.download = `${card.request.from}-${card.request.to}-card.html`;
  link.click();
  URL.revokeObjectURL(page);
}
