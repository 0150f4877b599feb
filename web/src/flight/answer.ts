import { useEffect, useState } from "preact/hooks";
import type { CardDocument, JudgeDocument, PlanDocument } from "../api/generated";
import type { PanelDocument, RibbonDocument } from "../api/pictures";
import * as service from "../api/service";
import { own_aircraft } from "./given_files";

/** A flight that is planned, or a route that is judged. */
export type Asked = { readonly question: service.PlanQuestion } | { readonly by_hand: service.RouteQuestion };

/** What the service has said of one question so far. */
export interface Answer {
  /** What it answers: while the next answer is waited for, still what was asked before. */
  readonly asked: Asked | null;
  readonly plan: PlanDocument | null;
  /** In place of a plan, where the route is built by hand. */
  readonly judged: JudgeDocument | null;
  readonly card: CardDocument | null;
  readonly ribbon: RibbonDocument | null;
  readonly panel: PanelDocument | null;
  readonly problem: service.Problem | null;
  readonly busy: boolean;
}

const nothing: Answer = { asked: null, plan: null, judged: null, card: null, ribbon: null, panel: null, problem: null, busy: false };

async function ask_plan(question: service.PlanQuestion, signal: AbortSignal, put: (part: Partial<Answer>) => void): Promise<void> {
  const pictures = async () => {
    const card = await service.card(question, signal);
    put({ card });
    const flown = { card, ...own_aircraft(question) };
    await Promise.all([
      service.ribbon(flown, signal).then((ribbon) => put({ ribbon })),
      service.panel(flown, signal).then((panel) => put({ panel })),
    ]);
  };
  const drawn = pictures().then(
    () => null,
    (fault: unknown) => fault,
  );
  const plan = await service.plan(question, signal);
  put({ plan });
  const fault = await drawn;
  // Where there is no flight there is no card: the plan has said so, with its reasons.
  if (fault !== null && plan.flight !== null) throw fault;
}

/** What is judged is drawn too where it cannot be flown, to show where that fails; then it has no panel. */
async function ask_judge(question: service.RouteQuestion, signal: AbortSignal, put: (part: Partial<Answer>) => void): Promise<void> {
  const [judged, card] = await Promise.all([service.judge(question, signal), service.card_by_hand(question, signal)]);
  put({ judged, card });
  const flown = { card, ...own_aircraft(question) };
  await Promise.all([
    service.ribbon(flown, signal).then((ribbon) => put({ ribbon })),
    judged.verdict === "not flyable" ? null : service.panel(flown, signal).then((panel) => put({ panel })),
  ]);
}

/** What is asked of the card of an answer: the card, and the aircraft's file where it is no shipped one. */
export function flown_of(answer: Answer): service.CardFlown | null {
  const { asked, card } = answer;
  return asked && card && { card, ...own_aircraft("by_hand" in asked ? asked.by_hand : asked.question) };
}

const ask = (asked: Asked, signal: AbortSignal, put: (part: Partial<Answer>) => void): Promise<void> =>
  "by_hand" in asked ? ask_judge(asked.by_hand, signal, put) : ask_plan(asked.question, signal, put);

/** Asks anew whenever the question changes and drops what was under way. The old answer stands until the new one comes. */
export function useAnswer(to_ask: Asked | null): Answer {
  const [answer, set_answer] = useState<Answer>(nothing);
  const asked = to_ask && JSON.stringify(to_ask);
  useEffect(() => {
    if (!asked) {
      set_answer(nothing);
      return;
    }
    const cancel = new AbortController();
    const now_asked = JSON.parse(asked) as Asked;
    let first = true;
    const put = (part: Partial<Answer>) => {
      if (cancel.signal.aborted) return;
      const fresh = first;
      first = false;
      set_answer((before) => ({ ...(fresh ? nothing : before), asked: now_asked, busy: true, ...part }));
    };
    set_answer((before) => ({ ...before, busy: true }));
    ask(now_asked, cancel.signal, put).then(
      () => put({ busy: false }),
      (fault: unknown) => {
        if (cancel.signal.aborted) return;
        put({ problem: service.problem_of(fault), busy: false });
      },
    );
    return () => cancel.abort();
  }, [asked]);
  return answer;
}
