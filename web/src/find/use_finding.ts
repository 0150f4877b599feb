import { useMemo } from "preact/hooks";
import type { CardDocument, FindDocument } from "../api/generated";
import * as service from "../api/service";
import { type Asked, useAsked } from "../api/use_asked";
import { own_aircraft } from "../flight/given_files";
import { type FindAsked, tells_place, words_of, words_of_known } from "./reading";

export type Finding = Asked<FindDocument>;

/** The question as the service takes it; null while too little is known to ask. */
function question_of(asked: FindAsked, flight: service.PlanQuestion | null, card: CardDocument | null): service.FindQuestion | null {
  if (!tells_place(asked) || asked.height === "") return null;
  const own = own_aircraft(flight);
  return {
    words: [
      ...asked.readings.flatMap(words_of),
      ...words_of_known(asked),
      ...(flight?.aircraft && !own.aircraft ? ["--aircraft", flight.aircraft] : []),
      ...(flight?.wind ? ["--wind", flight.wind] : []),
    ],
    ...(flight?.date ? { date: flight.date } : {}),
    ...(asked.on_card && card ? { card } : {}),
    ...own,
  };
}

/** Where one is by what was read; asked anew with every reading. The old answer stands until the new one comes. */
export function useFinding(asked: FindAsked | null, flight: service.PlanQuestion | null, card: CardDocument | null): Finding {
  const question = useMemo(() => asked && question_of(asked, flight, card), [asked, flight, card]);
  return useAsked(question, service.find, "stands");
}
