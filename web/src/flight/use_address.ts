import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { type Address, address_of, search_of } from "./address";

/** What is looked at in another way: a run of changes to one of these is one step back, however many there were. */
export type Look = "ribbon" | "chart" | "step";

/**
 * How a change goes into the history of the browser. A `visit` is a step back away, and so is what was looked at before a run of one kind of looking. A `note`
 * only makes the address bar true.
 */
export type As = "visit" | "note" | Look;
export type Put = (change: Partial<Address>, as: As) => void;

interface Entry {
  readonly look: Look | null;
}
const look_of = (state: unknown): Look | null => (state as Entry | null)?.look ?? null;

const same = (one: unknown, other: unknown): boolean => JSON.stringify(one) === JSON.stringify(other);

/**
 * The address that is come back to. Whose parts are as they were keeps them, so that nothing is asked anew for it. The colours are the person's and not the
 * place's: going back in the dark blinds nobody; and a time that was noted in flight stays noted while it is the same flight.
 */
export function come_back(from: Address, to: Address): Address {
  const kept = Object.fromEntries(Object.entries(to).map(([name, part]) => [name, same(part, from[name as keyof Address]) ? from[name as keyof Address] : part])) as unknown as Address;
  const same_flight = kept.question === from.question && kept.given === from.given && kept.by_hand === from.by_hand;
  return { ...kept, night: from.night, over: same_flight ? from.over : kept.over };
}

/** The address bar as state, and how often one came back to it by the browser's own buttons. */
export function useAddress(): { readonly address: Address; readonly put: Put; readonly came_back: number } {
  const [{ address, came_back }, set] = useState(() => ({ address: address_of(location.search), came_back: 0 }));
  const current = useRef(address);
  const put = useCallback<Put>((change, as) => {
    current.current = { ...current.current, ...change };
    const url = location.pathname + search_of(current.current);
    const look = as === "visit" || as === "note" ? null : as;
    if (as === "visit" || (look && look_of(history.state) !== look && url !== location.pathname + location.search)) history.pushState({ look } satisfies Entry, "", url);
    else history.replaceState(history.state, "", url);
    set((before) => ({ ...before, address: current.current }));
  }, []);
  useEffect(() => {
    const back = () => {
      current.current = come_back(current.current, address_of(location.search));
      history.replaceState(history.state, "", location.pathname + search_of(current.current));
      set((before) => ({ address: current.current, came_back: before.came_back + 1 }));
    };
    addEventListener("popstate", back);
    return () => removeEventListener("popstate", back);
  }, []);
  return { address, put, came_back };
}
