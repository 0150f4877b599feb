import { useRef } from "preact/hooks";
import type * as service from "../api/service";
import { Again, Outcome, WeakPoints } from "./rehearsed";
import { as_usual, type RehearsalAsked } from "./rehearsal_asked";
import { RehearsalForm } from "./rehearsal_form";
import type { Replaying } from "./replay";
import { ReplayBar } from "./replay_bar";
import type { Rehearsing } from "./use_rehearsal";

interface Props {
  /** As it was run, or null; a card without which nothing can be. */
  readonly asked: RehearsalAsked | null;
  readonly ready: boolean;
  readonly rehearsing: Rehearsing;
  readonly replaying: Replaying;
  readonly run: (asked: RehearsalAsked | null) => void;
  readonly replay: (flight: number | null) => void;
  readonly pick: (step: number) => void;
  readonly problem_text: (problem: service.Problem) => preact.ComponentChild;
}

function ProgressLine(props: { progress: service.Progress; give_up: () => void }) {
  const { stage, share } = props.progress;
  return (
    <div class="progress">
      <progress max={1} value={share} aria-label="How far the rehearsal is" />
      <span role="status">{stage || "The first flights are being flown."}</span>
      <button type="button" onClick={props.give_up}>
        give up
      </button>
    </div>
  );
}

/** The flight flown many times by needle alone: how it is asked for, how it ended, and which of its flights is looked at. */
export function RehearseView(props: Props) {
  const { asked, ready, rehearsing, replaying, run, replay, pick, problem_text } = props;
  const { found, progress, problem } = rehearsing;
  const rehearsal = found?.rehearsal ?? null;
  // What was given up can be asked for again as it was.
  const last = useRef(as_usual);
  if (asked) last.current = asked;
  return (
    <section class="tool rehearse" aria-label="Rehearsal">
      <RehearsalForm key={JSON.stringify(last.current)} asked={last.current} drawn={found?.errors ?? null} ready={ready && !progress} run={run} />
      {progress && <ProgressLine progress={progress} give_up={() => run(null)} />}
      {problem && problem_text(problem)}
      {found && !rehearsal && <p>There is no flight to rehearse: it is {found.verdict}.</p>}
      {found && rehearsal && (
        <div class="rehearsed">
          <Outcome found={rehearsal} no_runway={found.no_runway} />
          <WeakPoints weak={rehearsal.weak_points} pick={pick} />
          <Again
            key={replaying.replay?.document.flight ?? 0}
            examples={rehearsal.examples}
            most={found.flights_asked}
            replayed={replaying.replay?.document.flight ?? null}
            replay={replay}
          />
        </div>
      )}
      {replaying.problem && problem_text(replaying.problem)}
      {replaying.replay && <ReplayBar key={replaying.replay.document.flight} replay={replaying.replay} close={() => replay(null)} />}
    </section>
  );
}
