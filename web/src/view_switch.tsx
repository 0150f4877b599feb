import type { View } from "./flight/address";

interface Props {
  readonly view: View;
  /** Whether there is a flight with a card, which some views need. */
  readonly ready: boolean;
  readonly go: (view: View) => void;
  readonly night: boolean;
  readonly set_night: (night: boolean) => void;
}

/** Those that can be gone to without a flight. */
const without_flight: readonly View[] = ["plan", "find"];

const views: ReadonlyArray<readonly [view: View, says: string]> = [
  ["plan", "Flight"],
  ["card", "Card"],
  ["rehearse", "Rehearse"],
  ["find", "Find"],
  ["debrief", "Debrief"],
];

/** What is done with the flight: each a view of the same page. */
export function ViewSwitch(props: Props) {
  const { view, ready, go, night, set_night } = props;
  return (
    <nav class="views" aria-label="Views">
      {views.map(([one, says]) => (
        <button type="button" aria-current={one === view ? "page" : undefined} disabled={!without_flight.includes(one) && !ready} onClick={() => go(one)}>
          {says}
        </button>
      ))}
      <button type="button" aria-pressed={night} onClick={() => set_night(!night)}>
        Night
      </button>
    </nav>
  );
}
