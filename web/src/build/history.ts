/** What was, what is, and what was undone: the newest of `before` last, the next of `after` first. */
export interface History<State> {
  readonly before: readonly State[];
  readonly now: State;
  readonly after: readonly State[];
}

export const begun = <State>(now: State): History<State> => ({ before: [], now, after: [] });

export const changed = <State>(history: History<State>, now: State): History<State> =>
  now === history.now ? history : { before: [...history.before, history.now], now, after: [] };

export function undone<State>(history: History<State>): History<State> {
  const last = history.before.at(-1);
  return last === undefined ? history : { before: history.before.slice(0, -1), now: last, after: [history.now, ...history.after] };
}

export function redone<State>(history: History<State>): History<State> {
  const [next, ...after] = history.after;
  return next === undefined ? history : { before: [...history.before, history.now], now: next, after };
}
