import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { CardDocument, GroundspeedCheckDocument } from "../api/generated";
import { clock_of } from "../flight/clock";
import { CardOnPaper } from "../paper/card_on_paper";
import type { InWords } from "../paper/flight_in_words";
import { OnPaper } from "../paper/on_paper";
import { expected_ms, leg_told, type LegTold, noted, type Passed, time_of_day, wind_along } from "./flown_log";
import { StepText } from "./step_text";

interface Props {
  readonly card: CardDocument;
  /** For the head of what is printed. */
  readonly words: InWords;
  /** What times tell; null as long as it has not come. */
  readonly check: GroundspeedCheckDocument | null;
  readonly step: number | null;
  readonly pick: (step: number) => void;
  /** Where there is a plan to go back to. */
  readonly close?: () => void;
  /** Where it can be kept as a page of its own. */
  readonly keep?: () => Promise<void>;
  readonly night: boolean;
  readonly set_night: (night: boolean) => void;
  readonly log: readonly Passed[];
  readonly set_log: (log: readonly Passed[]) => void;
}

const a_swipe_px = 60;

/** Runs from a press to the next; shown by its own seconds, so that no other part of the card is drawn anew. */
function Stopwatch() {
  const [began_ms, set_began_ms] = useState<number | null>(null);
  const [shown_s, set_shown_s] = useState(0);
  useEffect(() => {
    if (began_ms === null) return;
    const timer = setInterval(() => set_shown_s(Math.floor((Date.now() - began_ms) / 1000)), 250);
    return () => clearInterval(timer);
  }, [began_ms]);
  const press = () => {
    if (began_ms === null) {
      set_shown_s(0);
      set_began_ms(Date.now());
    } else set_began_ms(null);
  };
  return (
    <button type="button" class={began_ms === null ? "stopwatch" : "stopwatch runs"} onClick={press} data-key="s">
      <span>{began_ms === null ? "start clock" : "stop clock"}</span>
      <b>{clock_of(shown_s)}</b>
    </button>
  );
}

/** The card, a step a screen: for a tablet on the knee. */
export function CardView(props: Props) {
  const { card, words, check, step, pick, close, keep, night, set_night, log, set_log } = props;
  const steps = [...card.card.steps, ...card.card.missed];
  const index = Math.max(0, steps.findIndex((one) => one.number === step));
  const current = steps[index]!;
  const [not_kept, set_not_kept] = useState("");
  const touched_x = useRef<number | null>(null);
  const box = useRef<HTMLElement>(null);
  const go = (by: number) => {
    const next = steps[Math.min(steps.length - 1, Math.max(0, index + by))];
    if (next) pick(next.number);
  };
  const over_it = () => {
    set_log(noted(log, current.number, Math.floor(Date.now() / 1000) * 1000));
    go(1);
  };

  useLayoutEffect(() => box.current?.focus(), []);
  const on_key = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const keys: Record<string, () => void> = {
      ArrowRight: () => go(1),
      PageDown: () => go(1),
      ArrowLeft: () => go(-1),
      PageUp: () => go(-1),
      o: over_it,
      n: () => set_night(!night),
      s: () => box.current?.querySelector<HTMLButtonElement>("[data-key=s]")?.click(),
      ...(close ? { Escape: close } : {}),
    };
    const act = keys[event.key];
    if (!act) return;
    act();
    event.preventDefault();
  };
  // On the window, and before the card is seen: no key is lost because nothing, or another thing, has the focus.
  useLayoutEffect(() => {
    addEventListener("keydown", on_key);
    return () => removeEventListener("keydown", on_key);
  });
  const on_pointer_up = (event: PointerEvent) => {
    if (event.pointerType !== "touch" || touched_x.current === null) return;
    const moved_px = event.clientX - touched_x.current;
    touched_x.current = null;
    if (Math.abs(moved_px) >= a_swipe_px) go(moved_px < 0 ? 1 : -1);
  };

  const told = (number: number) => leg_told(check, steps, log, number);
  const following = steps[index + 1];
  return (
    <main
      class="card-view"
      ref={box}
      tabIndex={-1}
      onPointerDown={(event) => (touched_x.current = event.pointerType === "touch" ? event.clientX : null)}
      onPointerUp={on_pointer_up}
      aria-label="Card"
    >
      <OnPaper make={() => <CardOnPaper card={card} words={words} />} />
      <header>
        {close && (
          <button type="button" onClick={close}>
            back to the plan
          </button>
        )}
        <p>
          {card.request.route}
          <span>
            {current.phase}
            {current.via && `, ${current.via}`}
          </span>
        </p>
        {keep && (
          <button type="button" onClick={() => keep().then(() => set_not_kept(""), (fault: unknown) => set_not_kept(String(fault instanceof Error ? fault.message : fault)))}>
            keep this card
          </button>
        )}
        <button type="button" aria-pressed={night} onClick={() => set_night(!night)}>
          night
        </button>
      </header>
      {not_kept && (
        <p class="problem" role="alert">
          The card was not kept. {not_kept}
        </p>
      )}
      <div class="card-step" aria-live="polite">
        <StepText step={current} level={2} />
        <dl class="expected">
          <Expected name="course" value={current.expected.course_magnetic_deg} unit="" digits={3} />
          <Expected name="heading" value={current.expected.heading_magnetic_deg} unit="" digits={3} />
          <Expected name="distance" value={current.expected.distance_nm} unit="NM" digits={0} />
          <div>
            <dt>time</dt>
            <dd>{current.expected.time_s === null ? "?" : clock_of(current.expected.time_s)}</dd>
          </div>
          <Expected name="groundspeed" value={current.expected.groundspeed_kt} unit="kt" digits={0} />
        </dl>
        <Logged
          passed={log.find((one) => one.step === current.number)?.at_ms ?? null}
          told={told(current.number)}
          expected={expected_ms(check, steps, log, current.number)}
          by={told(steps[index - 1]?.number ?? 0)}
        />
      </div>
      {following && (
        <p class="following">
          then <b>{following.number}</b> {following.guidance.says}
        </p>
      )}
      <footer>
        <button type="button" disabled={index === 0} onClick={() => go(-1)}>
          previous
        </button>
        <Stopwatch />
        <button type="button" class="main" onClick={over_it}>
          over it now
        </button>
        <button type="button" disabled={index === steps.length - 1} onClick={() => go(1)}>
          next
        </button>
      </footer>
      {log.length > 0 && (
        <ol class="log" aria-label="Times noted">
          {log.map((one) => (
            <li>
              <b>{one.step}</b> {time_of_day(one.at_ms)}
              <Told told={told(one.step)} />
            </li>
          ))}
        </ol>
      )}
    </main>
  );
}

function Told(props: { told: LegTold | null }) {
  const { told } = props;
  return told && <>{` ${told.groundspeed_kt} kt, ${wind_along(told.headwind_kt)}`}</>;
}

/** When the end of the step was seen, else when it is to be expected; and what the time on the leg has told. */
function Logged(props: { passed: number | null; told: LegTold | null; expected: number | null; by: LegTold | null }) {
  const { passed, told, expected, by } = props;
  if (passed !== null) {
    return (
      <p class="logged" role="status">
        over it at {time_of_day(passed)}
        {told && `: ${told.groundspeed_kt} kt, ${wind_along(told.headwind_kt)}, forecast ${wind_along(told.forecast_headwind_kt)}`}
      </p>
    );
  }
  return (
    <p class="logged" role="status">
      {expected !== null && (
        <>
          expect it at <b>{time_of_day(expected)}</b>
          {by ? `, after ${by.groundspeed_kt} kt on ${by.step}: ${wind_along(by.headwind_kt)}, forecast ${wind_along(by.forecast_headwind_kt)}` : ", by the card"}
        </>
      )}
    </p>
  );
}

function Expected(props: { name: string; value: number | null; unit: string; digits: 0 | 3 }) {
  const { name, value, unit, digits } = props;
  const says = value === null ? "?" : digits === 3 ? String(Math.round(value)).padStart(3, "0") : `${value} ${unit}`;
  return (
    <div>
      <dt>{name}</dt>
      <dd>{says}</dd>
    </div>
  );
}
