import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { CardDocument, GroundspeedCheckDocument } from "../api/generated";
import { card_in_words } from "../paper/flight_in_words";
import { CardView } from "./card_view";
import { log_of_text, type Passed, text_of_log } from "./flown_log";
import "../page.css";

/** What the address of the file keeps, behind its #: a device that drops the page in flight shows it again as it was. */
interface Kept {
  readonly step: number | null;
  readonly night: boolean;
  readonly log: readonly Passed[];
}

function kept_of(hash: string): Kept {
  const words = new URLSearchParams(hash.slice(1));
  const step = Number(words.get("step") ?? "x");
  return { step: Number.isInteger(step) ? step : null, night: words.has("night"), log: log_of_text(words.get("over")) };
}

function hash_of(kept: Kept): string {
  const words: string[] = [];
  if (kept.step !== null) words.push(`step=${kept.step}`);
  if (kept.log.length > 0) words.push(`over=${text_of_log(kept.log)}`);
  if (kept.night) words.push("night");
  return `#${words.join("&")}`;
}

/** A card in a file of its own: no service is asked, for none may be there. */
function KeptCard(props: { card: CardDocument; check: GroundspeedCheckDocument }) {
  const { card, check } = props;
  const [kept, set_kept] = useState(() => kept_of(location.hash));
  useEffect(() => {
    history.replaceState(null, "", hash_of(kept));
    document.documentElement.dataset["colours"] = kept.night ? "night" : "day";
  }, [kept]);
  return (
    <CardView
      card={card}
      words={card_in_words(card)}
      check={check}
      step={kept.step}
      pick={(step) => set_kept((before) => ({ ...before, step }))}
      night={kept.night}
      set_night={(night) => set_kept((before) => ({ ...before, night }))}
      log={kept.log}
      set_log={(log) => set_kept((before) => ({ ...before, log }))}
    />
  );
}

const data = <Document,>(id: string) => JSON.parse(document.getElementById(id)?.textContent ?? "") as Document;
const box = document.getElementById("page");
if (box) {
  const card = data<CardDocument>("card");
  document.title = `${card.request.from} to ${card.request.to} - card`;
  box.textContent = "";
  render(<KeptCard card={card} check={data<GroundspeedCheckDocument>("groundspeed-check")} />, box);
}
