import { useEffect, useState } from "preact/hooks";
import type { CardDocument, PlanDocument } from "../api/generated";
import type { PanelDocument, RibbonDocument } from "../api/pictures";
import * as service from "../api/service";

/** What the service has said of one question so far. */
export interface Answer {
  readonly plan: PlanDocument | null;
  readonly card: CardDocument | null;
  readonly ribbon: RibbonDocument | null;
  readonly panel: PanelDocument | null;
  readonly problem: service.Problem | null;
  readonly busy: boolean;
}

const nothing: Answer = { plan: null, card: null, ribbon: null, panel: null, problem: null, busy: false };

async function ask(question: service.PlanQuestion, signal: AbortSignal, put: (part: Partial<Answer>) => void): Promise<void> {
  const pictures = async () => {
    const card = await service.card(question, signal);
    put({ card });
    await Promise.all([
      service.ribbon(card, signal).then((ribbon) => put({ ribbon })),
      service.panel(card, signal).then((panel) => put({ panel })),
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

/** Asks anew whenever the question changes and drops what was under way. The old answer stands until the new one comes. */
export function useAnswer(question: service.PlanQuestion | null): Answer {
  const [answer, set_answer] = useState<Answer>(nothing);
  const asked = question && JSON.stringify(question);
  useEffect(() => {
    if (!asked) return;
    const cancel = new AbortController();
    let first = true;
    const put = (part: Partial<Answer>) => {
      if (cancel.signal.aborted) return;
      const fresh = first;
      first = false;
      set_answer((before) => ({ ...(fresh ? nothing : before), busy: true, ...part }));
    };
    set_answer((before) => ({ ...before, busy: true }));
    ask(JSON.parse(asked) as service.PlanQuestion, cancel.signal, put).then(
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
