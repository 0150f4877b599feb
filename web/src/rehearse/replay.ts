import { useMemo } from "preact/hooks";
import type { ReplayDocument, ReplaySample } from "../api/generated";
import type { PanelDocument } from "../api/pictures";
import * as service from "../api/service";
import { useAsked } from "../api/use_asked";
import type { Overlay } from "../chart/overlay";
import { last_at } from "../flight/along";
import { Cursor } from "../flight/cursor";
import { errors_text, type RehearsalAsked } from "./rehearsal_asked";

/** One flight of a rehearsal again. It has a clock of its own: where it strayed, time goes on while its place on the flight that was meant stands. */
export class Replay {
  readonly cursor: Cursor;
  /** What its instruments showed, by its own clock. */
  readonly panel: Pick<PanelDocument, "instruments" | "samples">;
  readonly overlay: Overlay;

  constructor(
    readonly document: ReplayDocument,
    cursor = new Cursor(),
  ) {
    this.cursor = cursor;
    this.cursor.length_s = document.flown_s;
    this.panel = { instruments: document.instruments, samples: document.samples.map((sample) => ({ ...sample, at_s: sample.flown_s })) };
    this.overlay = { lines: [{ places: document.samples, says: `flight ${document.flight}, flown` }], areas: [], marks: [] };
  }

  sample_at(flown_s: number): ReplaySample | undefined {
    const index = this.panel.samples.indexOf(last_at(this.panel.samples, flown_s)!);
    return this.document.samples[index];
  }

  /** The last moment before it had left that place of the flight that was meant behind: where it never came so far, its end. */
  flown_at(at_s: number): number {
    const { samples } = this.document;
    return (samples.find((sample) => sample.at_s >= at_s) ?? samples.at(-1))?.flown_s ?? 0;
  }
}

/**
 * Holds the cursor of the flight that is meant and the clock of the one that was flown abeam of each other, whichever of them is moved. Both tell of a
 * move a frame later, when the other may have gone on: so each remembers where it was put, and does not answer to that.
 */
export function abeam(meant: Cursor, replay: Replay): () => void {
  const put = { meant: NaN, flown: NaN };
  const ends = [
    meant.watch((at_s) => {
      if (at_s === put.meant) return;
      replay.cursor.move(replay.flown_at(at_s));
      put.flown = replay.cursor.at_s;
    }),
    replay.cursor.watch((flown_s) => {
      if (flown_s === put.flown) return;
      meant.move(replay.sample_at(flown_s)?.at_s ?? 0);
      put.meant = meant.at_s;
    }),
  ];
  return () => ends.forEach((end) => end());
}

export interface Replaying {
  readonly replay: Replay | null;
  readonly problem: service.Problem | null;
}

const replay_of = (question: Parameters<typeof service.replay>[0], signal: AbortSignal): Promise<Replay> =>
  service.replay(question, signal).then((document) => new Replay(document));

/** The flight of that number, of the rehearsal that was asked for; asked for anew when either changes. */
export function useReplay(flown: service.CardFlown | null, asked: RehearsalAsked | null, number: number | null): Replaying {
  const question = useMemo(
    () =>
      flown && asked && number !== null
        ? { ...flown, seed: asked.seed, errors: errors_text(asked.errors), no_runway: asked.no_runway, fail: asked.fail, example: number }
        : null,
    [flown, asked, number],
  );
  const { found: replay, problem } = useAsked(question, replay_of, "stands");
  return { replay, problem };
}
