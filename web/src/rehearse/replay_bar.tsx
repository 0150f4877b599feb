import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { ReplaySample } from "../api/generated";
import { clock_of } from "../flight/clock";
import type { Replay } from "./replay";

/** How many seconds of the flight pass in one of the clock while it plays. */
const hurry = 40;

const side = (value: number) => (value < 0 ? "left" : "right");

/** Where it really is, and what its pilot sees of it. */
export function held_says(sample: ReplaySample): string {
  const step = `step ${sample.step}`;
  const aside = sample.aside_nm === null ? "" : `, ${Math.abs(sample.aside_nm).toFixed(1)} NM ${side(sample.aside_nm)} of the line`;
  const needle = sample.needle_share === null ? "" : `, needle ${Math.abs(sample.needle_share).toFixed(2)} of full scale ${side(sample.needle_share)}`;
  return `${clock_of(sample.flown_s)}, ${step}${aside}${needle}`;
}

function ended_says({ document }: Replay): string {
  const where = document.failed_step === null ? "" : ` in step ${document.failed_step}`;
  return `${document.outcome}${where}, flown ${clock_of(document.flown_s)} and ${document.flown_nm.toFixed(0)} NM`;
}

function usePlaying(replay: Replay): [boolean, (playing: boolean) => void] {
  const [playing, set_playing] = useState(false);
  useEffect(() => {
    if (!playing) return;
    let frame = 0;
    let before_ms: number | null = null;
    const go_on = (now_ms: number) => {
      if (before_ms !== null) replay.cursor.move(replay.cursor.at_s + ((now_ms - before_ms) / 1000) * hurry);
      before_ms = now_ms;
      if (replay.cursor.at_s >= replay.document.flown_s) return set_playing(false);
      frame = requestAnimationFrame(go_on);
    };
    frame = requestAnimationFrame(go_on);
    return () => cancelAnimationFrame(frame);
  }, [playing, replay]);
  return [playing, set_playing];
}

/** The clock of the flight that is flown again. Moved without anything else being drawn anew. */
export function ReplayBar(props: { replay: Replay; close: () => void }) {
  const { replay, close } = props;
  const slider = useRef<HTMLInputElement>(null);
  const output = useRef<HTMLOutputElement>(null);
  const [playing, set_playing] = usePlaying(replay);
  useLayoutEffect(
    () =>
      replay.cursor.watch((flown_s) => {
        const sample = replay.sample_at(flown_s);
        if (!slider.current || !output.current || !sample) return;
        slider.current.value = String(Math.round(flown_s));
        slider.current.setAttribute("aria-valuetext", held_says(sample));
        output.current.textContent = held_says(sample);
      }),
    [replay],
  );
  return (
    <section class="replay-bar" aria-label="Replay">
      <p>
        <b>Flight {replay.document.flight}</b> {ended_says(replay)}
      </p>
      <div>
        <button type="button" aria-pressed={playing} onClick={() => set_playing(!playing)}>
          {playing ? "stop" : "play"}
        </button>
        <input
          ref={slider}
          type="range"
          min={0}
          max={Math.floor(replay.document.flown_s)}
          step={1}
          aria-label="Clock of the flight flown again"
          onInput={(event) => replay.cursor.move(Number(event.currentTarget.value))}
        />
        <button type="button" onClick={close}>
          close
        </button>
      </div>
      <output ref={output} aria-live="off" />
    </section>
  );
}
