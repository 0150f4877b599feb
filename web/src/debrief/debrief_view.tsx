import { useState } from "preact/hooks";
import type { DebriefDocument } from "../api/generated";
import type * as service from "../api/service";
import { clock_of } from "../flight/clock";
import { aside_says, degrees_says, how_flown, needle_says, off_says, type StepDebriefed } from "./step_debriefed";
import type { Debriefing, Track } from "./use_debrief";

interface Props {
  readonly ready: boolean;
  readonly track: Track | null;
  readonly set_track: (track: Track) => void;
  readonly debriefing: Debriefing;
  readonly pick: (step: number) => void;
  readonly problem_text: (problem: service.Problem) => preact.ComponentChild;
}

/** What the service says where a file has several flights. */
const of_several = ["track.two_flights", "track.no_such_flight"];

/** Chosen by pointer, by keyboard, or dropped. */
function TrackDrop(props: { ready: boolean; track: Track | null; set_track: (track: Track) => void }) {
  const { ready, track, set_track } = props;
  const [over, set_over] = useState(false);
  const take = (file: File | undefined) => {
    if (file) void file.text().then((text) => set_track({ name: file.name, text, flight: null }));
  };
  return (
    <label
      class={over ? "drop over" : "drop"}
      onDragOver={(event) => {
        event.preventDefault();
        set_over(true);
      }}
      onDragLeave={() => set_over(false)}
      onDrop={(event) => {
        event.preventDefault();
        set_over(false);
        if (ready) take(event.dataTransfer?.files[0]);
      }}
    >
      <span>{track ? `${track.name}, or another track` : "Drop the flown track here, or choose it"}: GPX, NMEA 0183 or CSV</span>
      <input type="file" aria-label="Flown track" accept=".gpx,.nmea,.csv,.txt,.log,.xml" disabled={!ready} onChange={(event) => take(event.currentTarget.files?.[0])} />
    </label>
  );
}

/** A file may hold several flights: which is one of them is then asked. */
function WhichFlight(props: { track: Track; set_track: (track: Track) => void }) {
  const { track, set_track } = props;
  return (
    <form
      class="by-number"
      aria-label="Which flight of the track"
      onSubmit={(event) => {
        event.preventDefault();
        set_track({ ...track, flight: Number(new FormData(event.currentTarget).get("flight")) });
      }}
    >
      <label>
        flight <input name="flight" type="number" min={1} required defaultValue={track.flight === null ? "" : String(track.flight)} />
      </label>
      <button type="submit">take it</button>
    </form>
  );
}

const percent = (share: number) => `${Math.round(share * 100)} %`;

export function Flown(props: { found: DebriefDocument }) {
  const { track } = props.found;
  const left_out = track.not_used.map((one) => `${one.points} ${one.code}`).join(", ");
  return (
    <div class="flown-says">
      <p>
        Flown <b>{track.began}</b> to <b>{track.ended}</b>, {clock_of(track.recorded_s)} recorded; {track.form}, {track.points_used.toLocaleString("en")} of {track.points.toLocaleString("en")} points used
        {left_out && ` (not used: ${left_out})`}.
      </p>
      {track.gaps.length > 0 && (
        <p>
          Nothing was recorded for {track.gaps.map((gap) => clock_of(gap.to_s - gap.from_s)).join(", ")}.
        </p>
      )}
      {!track.altitude_recorded && <p>No altitude was recorded.</p>}
      {track.off_the_flight_share > 0.02 && <p class="doubt">{percent(track.off_the_flight_share)} of the time it was more than 8 NM from every step: is it this flight?</p>}
    </div>
  );
}

/** At most three, the largest deviation first. */
export function Practise(props: { practise: DebriefDocument["practise"]; pick: (step: number) => void }) {
  const { practise, pick } = props;
  return (
    <section aria-label="To practise">
      <h2>To practise</h2>
      {practise.length === 0 && <p>Nothing: no deviation was beyond what is allowed.</p>}
      <ol>
        {practise.map((one) => (
          <li class="practise">
            <p>
              <b>{one.exercise}</b> {one.says}
            </p>
            <span class="numbers">
              {one.steps.map((step) => (
                <button type="button" onClick={() => pick(step)}>
                  step {step}
                </button>
              ))}
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Row(props: { step: StepDebriefed; pick: (step: number) => void }) {
  const { step, pick } = props;
  const { side, heights } = step;
  const needle = side?.needle_of_full_scale ?? null;
  const taken_s = step.began_s === null || step.ended_s === null ? null : step.ended_s - step.began_s;
  return (
    <tr class={step.flown ? "" : "not-flown"}>
      <th scope="row">
        <button type="button" onClick={() => pick(step.number)} aria-label={`step ${step.number}`}>
          {step.number}
        </button>{" "}
        {step.to}
      </th>
      {!step.flown ? (
        <td colSpan={9}>not flown</td>
      ) : (
        <>
          <td>
            {taken_s === null ? "" : clock_of(taken_s)} {step.time_on_card_s !== null && <span class="at">{clock_of(step.time_on_card_s)}</span>}
          </td>
          <td>{side && aside_says(side.aside.mean_nm)}</td>
          <td>{side && side.aside.within_95_percent_nm.toFixed(1)}</td>
          <td>{side && aside_says(side.aside.worst_nm)}</td>
          <td>{side?.aside_angle && degrees_says(side.aside_angle.worst_deg)}</td>
          <td>{needle && needle_says(needle.worst_share)}</td>
          <td>{side && side.beyond_three_quarters_s > 0 ? `${side.beyond_three_quarters_s.toFixed(0)} s` : ""}</td>
          <td>{heights && off_says(heights.at_end_off_ft)}</td>
          <td class="why">
            {how_flown(step)}
            {step.guide && step.guide.heard_share < 1 && `; ${step.guide.aid.ident} heard ${percent(step.guide.heard_share)} of the time`}
            {heights && heights.below_minimum_ft > 0 && (
              <b>
                ; {heights.below_minimum_ft.toFixed(0)} ft below its minimum for {clock_of(heights.below_minimum_s)}
              </b>
            )}
          </td>
        </>
      )}
    </tr>
  );
}

/** Every step of the card with what was held: miles, degrees, shares of full scale, seconds. No mark is given. */
export function StepsDebriefed(props: { found: DebriefDocument; pick: (step: number) => void }) {
  const { found, pick } = props;
  return (
    <section class="by-step" aria-label="By step">
      <h2>By step</h2>
      <div class="scrolls" tabIndex={0} role="region" aria-label="Table by step">
        <table>
          <thead>
            <tr>
              <th scope="col">Step to</th>
              <th scope="col">
                Time <span class="at">card</span>
              </th>
              <th scope="col">Aside, NM mean</th>
              <th scope="col">95 %</th>
              <th scope="col">worst</th>
              <th scope="col">Degrees worst</th>
              <th scope="col">Needle worst, of full scale</th>
              <th scope="col">Beyond ¾</th>
              <th scope="col">Altitude at its end, ft off</th>
              <th scope="col">How</th>
            </tr>
          </thead>
          <tbody>
            {found.steps
              .filter((step) => step.flown || !step.missed_approach)
              .map((step) => (
                <Row step={step} pick={pick} />
              ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

/** A flown track against the card of the flight that is planned. */
export function DebriefView(props: Props) {
  const { ready, track, set_track, debriefing, pick, problem_text } = props;
  const { found, busy, problem } = debriefing;
  const several = problem?.errors.some((error) => of_several.includes(error.code)) || (found?.track.flights ?? 1) > 1;
  return (
    <section class="tool debrief" aria-label="Debriefing">
      <TrackDrop ready={ready} track={track} set_track={set_track} />
      <p class="hint" role="status">
        {busy ? "Laying the track against the card." : ""}
      </p>
      {problem && problem_text(problem)}
      {track && several && <WhichFlight key={track.flight} track={track} set_track={set_track} />}
      {found && (
        <div class="debriefed">
          <Flown found={found} />
          <Practise practise={found.practise} pick={pick} />
        </div>
      )}
    </section>
  );
}
