import { useMemo, useState } from "preact/hooks";
import type { NextDocument } from "../api/generated";
import type { ChartDocument } from "../api/pictures";
import * as service from "../api/service";
import { useAsked } from "../api/use_asked";
import type { ByHand } from "../flight/address";
import { of_route } from "../flight/constraints";
import type { Choice } from "./choices";
import { type HandLeg, type HandRoute, inserted, type Passes, point_before, removed, route_of, text_of } from "./hand_route";
import { begun, changed, type History, redone, undone } from "./history";

export type Side = "before" | "after";

/** A route that is being built: what it is, where the next word goes, and what can be done with it. */
export interface Build {
  readonly route: HandRoute;
  readonly approach: string;
  readonly altitude_ft: number | null;
  /** The leg that is chosen; -1 is the departure airport. */
  readonly chosen: number;
  readonly side: Side;
  /** The ident behind which the next word goes; empty behind the airport. */
  readonly behind: string;
  readonly next: NextDocument | null;
  readonly can_undo: boolean;
  readonly can_redo: boolean;
  choose(leg: number, side: Side): void;
  put(choice: Pick<Choice, "legs" | "approach" | "star">): void;
  remove(leg: number): void;
  ask(of: Partial<Pick<ByHand, "approach" | "altitude_ft">>): void;
  undo(): void;
  redo(): void;
}

/** Which airways pass which points, by the chart. */
function passes_of(chart: ChartDocument | null): Passes {
  const points = new Map<string, Set<string>>();
  for (const airway of chart?.airways ?? []) {
    const here = points.get(airway.designator) ?? new Set();
    points.set(airway.designator, here.add(airway.from).add(airway.to));
  }
  return (airway, ident) => points.get(airway)?.has(ident) ?? false;
}

function useNext(question: service.PlanQuestion | null, behind: string | null): NextDocument | null {
  const { from, to, aircraft } = question ?? {};
  const asked = useMemo(
    () => (behind === null || !from || !to ? null : { from, to, ...(behind ? { at: behind } : {}), ...(aircraft ? { aircraft } : {}) }),
    [from, to, aircraft, behind],
  );
  // Where there is no answer, the judge's says why.
  return useAsked(asked, service.next).found;
}

const is_same = (one: ByHand, other: ByHand) => one.route === other.route && one.approach === other.approach && one.altitude_ft === other.altitude_ft;

/** Null while nothing is built. `set` keeps what is built, in the address bar. */
export function useBuild(question: service.PlanQuestion | null, by_hand: ByHand | null, chart: ChartDocument | null, set: (by_hand: ByHand) => void): Build | null {
  const [kept, set_kept] = useState<History<ByHand> | null>(null);
  const [chosen, set_chosen] = useState(Infinity);
  const [side, set_side] = useState<Side>("after");
  const passes = useMemo(() => passes_of(chart), [chart]);
  // What comes from elsewhere, the address bar above all, begins anew.
  const same = kept !== null && by_hand !== null && is_same(kept.now, by_hand);
  const history = by_hand && (same ? kept! : begun(by_hand));
  const route = history && route_of(history.now.route);
  const leg = route ? Math.min(chosen, route.legs.length - 1) : -1;
  const place = leg + (side === "after" || leg < 0 ? 1 : 0);
  const behind = route && point_before(route, place);
  const next = useNext(question, behind);
  if (!history || !route || behind === null) return null;

  const go = (to: History<ByHand>) => {
    set_kept(to);
    if (to.now !== history.now) set(to.now);
  };
  const edit = (to: HandRoute, asked: Partial<ByHand> = {}) => {
    const now = { ...history.now, ...asked, route: text_of(to) };
    if (!is_same(now, history.now)) go(changed(history, now));
  };
  return {
    route,
    approach: history.now.approach,
    altitude_ft: history.now.altitude_ft,
    chosen: leg,
    side: leg < 0 ? "after" : side,
    behind,
    next,
    can_undo: history.before.length > 0,
    can_redo: history.after.length > 0,
    choose: (to, at) => {
      set_chosen(to);
      set_side(at);
    },
    put: ({ legs, approach, star }) => {
      const fresh: readonly HandLeg[] = legs.filter((one, index) => index > 0 || one.to !== behind);
      const to = inserted(route, place, fresh, passes);
      edit(star === undefined ? to : { ...to, star }, approach === undefined ? {} : { approach });
      set_chosen(place + fresh.length - 1);
      set_side("after");
    },
    remove: (index) => {
      edit(removed(route, index, passes));
      set_chosen(index - 1);
      set_side("after");
    },
    ask: (of) => edit(route, of),
    undo: () => go(undone(history)),
    redo: () => go(redone(history)),
  };
}

/** What the judge is asked of a route by hand, with what was asked of the flight. */
export function route_question(question: service.PlanQuestion, by_hand: ByHand): service.RouteQuestion {
  return {
    ...of_route(question),
    route: by_hand.route,
    ...(by_hand.approach ? { approach: by_hand.approach } : {}),
    ...(by_hand.altitude_ft !== null ? { altitude_ft: by_hand.altitude_ft } : {}),
  };
}
