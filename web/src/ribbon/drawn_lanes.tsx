import type { Hearing, ReceiverLane, ReceiverSpan, RibbonDocument, Stretch } from "../api/pictures";
import { guidance_line } from "../flight/guidance_line";
import { type Deviation, runs_of } from "./deviation_lanes";
import { type DrawnOn, known_runs, slopes, stairs } from "./drawn_on";
import type { Lanes, StationLane } from "./lanes";
import type { MarkerPassed } from "./markers_passed";
import { clock_of } from "../flight/clock";
import { first_fitting, fitted, text_px } from "./text_fit";

const course = (degrees: number | null) => (degrees === null ? "" : String(Math.round(degrees) % 360 || 360).padStart(3, "0"));

export function StepsLane(props: { on: DrawnOn; lane: Lanes["steps"]; picked: number | null; pick: (step: number) => void }) {
  const { on, lane, picked, pick } = props;
  const line_y = lane.top_px + 19;
  let free_from_px = -Infinity;
  return (
    <g class="steps">
      {on.ribbon.steps.map((step) => {
          const seen = on.seen(step);
          if (!seen) return null;
          const width = seen.right - seen.left;
          const number_fits = seen.left >= free_from_px && seen.left + 3 + text_px(String(step.number)) <= on.scale.right_px;
          if (number_fits) free_from_px = seen.left + text_px(String(step.number)) + 7;
          return (
            <g class={step.number === picked ? "step picked" : "step"} onClick={() => pick(step.number)} data-step={step.number}>
              <title>{`${step.number}  ${step.says}\nuntil ${step.until}`}</title>
              <rect class="touch" x={seen.left} y={lane.top_px} width={Math.max(2, width)} height={lane.height_px} />
              <line class="route" x1={seen.left} x2={seen.right} y1={line_y} y2={line_y} stroke-dasharray={guidance_line(step.guidance).dashes.join(" ")} />
              <line class="tick" x1={seen.left} x2={seen.left} y1={lane.top_px + 3} y2={line_y + 5} />
              {number_fits && (
                <text class="number" x={seen.left + 3} y={lane.top_px + 13}>
                  {step.number}
                </text>
              )}
              {width > 40 && (
                <text x={seen.left + 3} y={line_y + 16}>
                  {fitted(step.says, width - 6)}
                </text>
              )}
              {width > 60 && (
                <text class="until" x={seen.right - 3} y={line_y + 31} text-anchor="end">
                  {fitted(step.until, width - 6)}
                </text>
              )}
            </g>
          );
        })}
    </g>
  );
}

const is_of = (heard: Hearing, receiver: ReceiverLane) => (receiver.name === "DME") === (heard.part === "distance") && heard.part !== "glideslope";

/** How a set stands on that part of the station: dotted where it is only set, firmer where it checks, tells or guides. */
function SetsOnIt(props: { on: DrawnOn; heard: Hearing; y: number }) {
  const { on, heard, y } = props;
  const sets = on.ribbon.receivers.filter((receiver) => is_of(heard, receiver));
  const line = (part: Stretch, name: string) => <line class={name} x1={on.begins_px(part)} x2={on.ends_px(part)} y1={y} y2={y} />;
  const tuned = (receiver: ReceiverLane) => receiver.spans.filter((span) => span.role === "tuned" && span.station === heard.station && span.frequency === heard.frequency);
  // A use names no frequency: that the set stands on this station at its beginning tells a beacon from a VOR of the same name.
  const stands_on = (receiver: ReceiverLane, at_s: number) => tuned(receiver).some((span) => at_s >= span.begins_s - 1 && at_s <= span.ends_s + 1);
  return (
    <>
      {sets.flatMap(tuned).map((span) => line(span, "set-on"))}
      {sets.flatMap((receiver) => receiver.uses.filter((use) => use.station === heard.station && stands_on(receiver, use.begins_s))).map((use) => line(use, `in-use ${use.use}`))}
    </>
  );
}

function HeardPart(props: { on: DrawnOn; heard: Hearing; used: boolean; top: number; height: number; reasons: boolean }) {
  const { on, heard, used, top, height, reasons } = props;
  return (
    <g class={`heard ${heard.part} ${used ? "used" : "unused"}`}>
      {heard.spans.map((span, index) => {
        const seen = on.seen(span);
        if (!seen) return null;
        const name = `margin-${heard.station}-${heard.frequency.replace(".", "-")}-${heard.part}-${index}`;
        const [begins, ends] = [on.begins_px(span), on.ends_px(span)];
        const [opens, closes] = [span.begins_in_short !== "", span.ends_in_short !== ""];
        return (
          <g>
            <title>{`${heard.station} ${heard.gives}\nfrom ${span.begins_nm.toFixed(1)} NM: ${span.begins_because}\nto ${span.ends_nm.toFixed(1)} NM: ${span.ends_because}`}</title>
            <linearGradient id={name}>
              {on.margin_stops(span).map((stop) => (
                <stop offset={stop.offset.toFixed(4)} stop-opacity={(0.13 + 0.42 * stop.share).toFixed(2)} />
              ))}
            </linearGradient>
            <rect class={span.published ? "alive published" : "alive"} x={begins} y={top} width={Math.max(1, ends - begins)} height={height} {...(span.published ? {} : { fill: `url(#${name})` })} />
            {opens && <line class="edge" x1={begins} x2={begins} y1={top - 1} y2={top + height + 1} />}
            {closes && <line class="edge" x1={ends} x2={ends} y1={top - 1} y2={top + height + 1} />}
            {reasons && <Reasons on={on} heard={heard} index={index} y={top + height / 2 + 4.2} />}
          </g>
        );
      })}
      <SetsOnIt on={on} heard={heard} y={top + height} />
    </g>
  );
}

/** Why it is heard from there and to there: with its figures where there is room, else in two words, else not. */
function Reasons(props: { on: DrawnOn; heard: Hearing; index: number; y: number }) {
  const { on, heard, index, y } = props;
  const span = heard.spans[index]!;
  const [before, after] = [heard.spans[index - 1], heard.spans[index + 1]];
  const [begins, ends] = [on.begins_px(span), on.ends_px(span)];
  // A gap belongs to the reason at its beginning; what follows it would say the same once more.
  const room_after = (after ? on.begins_px(after) : on.scale.right_px) - ends - 9;
  const room_before = before ? 0 : begins - on.scale.left_px - 9;
  const ends_says = first_fitting([span.ends_because, span.ends_in_short], room_after);
  const begins_says = first_fitting([span.begins_because.replace(/^before it /, ""), span.begins_in_short], room_before);
  return (
    <>
      {span.ends_in_short !== "" && ends_says !== "" && ends >= on.scale.left_px && (
        <text class="reason" x={ends + 5} y={y}>
          {ends_says}
        </text>
      )}
      {span.begins_in_short !== "" && begins_says !== "" && begins <= on.scale.right_px && (
        <text class="reason" x={begins - 5} y={y} text-anchor="end">
          {begins_says}
        </text>
      )}
    </>
  );
}

export function HeardLane(props: { on: DrawnOn; lane: StationLane }) {
  const { on, lane } = props;
  const { azimuth, distance, glideslope, used, top_px } = lane;
  const alone = azimuth === null || distance === null;
  return (
    <g>
      {azimuth && <HeardPart on={on} heard={azimuth} used={used} top={top_px + 1.5} height={alone ? 16 : 13} reasons />}
      {distance && <HeardPart on={on} heard={distance} used={used} top={top_px + (alone ? 1.5 : 17)} height={alone ? 16 : 4} reasons={alone} />}
      {glideslope && <HeardPart on={on} heard={glideslope} used={used} top={top_px + 22.5} height={2} reasons={false} />}
    </g>
  );
}

function tuned_says(span: ReceiverSpan): string[] {
  const set = course(span.course_deg);
  const long = [span.station, span.frequency, set].filter((word) => word !== "").join("  ");
  return [long, set ? `${span.station} ${set}` : span.station, span.station];
}

export function ReceiversLane(props: { on: DrawnOn; lane: Lanes["receivers"][number] }) {
  const { on, lane } = props;
  const { receiver } = lane;
  const tuned_y = lane.top_px + 2;
  return (
    <g class="receiver">
      {receiver.spans.map((span) => {
        const seen = on.seen(span);
        if (!seen) return null;
        const width = seen.right - seen.left;
        const standby = span.role === "standby";
        const y = standby ? tuned_y + 20 : tuned_y;
        return (
          <g class={span.role}>
            <title>{`${receiver.name} ${standby ? "standby" : "on"} ${tuned_says(span)[0]}, ${span.begins_nm.toFixed(1)} to ${span.ends_nm.toFixed(1)} NM`}</title>
            <rect x={seen.left + 0.5} y={y} width={Math.max(1, width - 1)} height={standby ? 14 : 19} />
            <text x={seen.left + 5} y={y + (standby ? 11.2 : 13)}>
              {first_fitting(standby ? [`${span.station} ${span.frequency}`, span.station] : tuned_says(span), width - 8)}
            </text>
          </g>
        );
      })}
      <Retunes on={on} receiver={receiver} y={tuned_y + 19} />
    </g>
  );
}

function Retunes(props: { on: DrawnOn; receiver: ReceiverLane; y: number }) {
  const { on, receiver, y } = props;
  return (
    <>
      {receiver.retunes.map((retune) => {
        const x = on.at_px(retune);
        if (x < on.scale.left_px || x > on.scale.right_px) return null;
        const spare = `${clock_of(retune.slack_s)} to spare`;
        return (
          <g class="retune">
            <Slack on={on} receiver={receiver} retune={retune} y={y} />
            <title>{`${receiver.name} to ${retune.to}, ${spare}`}</title>
            <path d={`M${x - 4},${y - 24}h8l-4,6z`} />
            <line x1={x} x2={x} y1={y - 20} y2={y} />
          </g>
        );
      })}
    </>
  );
}

/**
 * How late the knob may be turned: along the line it is in time, in what is hatched there is no more time to tune and to hear the
 * ident before the set is needed.
 */
function Slack(props: { on: DrawnOn; receiver: ReceiverLane; retune: ReceiverLane["retunes"][number]; y: number }) {
  const { on, receiver, retune, y } = props;
  const tuned = receiver.spans.find((span) => span.role === "tuned" && span.station === retune.to && Math.abs(span.begins_s - retune.at_s) < 1);
  const latest_s = retune.at_s + retune.slack_s;
  const from = on.at_seconds_px(retune.at_s);
  const latest = on.at_seconds_px(latest_s);
  const needed = tuned?.identify_by_s == null ? latest : on.at_seconds_px(tuned.identify_by_s);
  return (
    <>
      <path class="slack" d={`M${from.toFixed(1)},${y - 2.5}H${latest.toFixed(1)}m0,-2.5v5`} />
      {needed > latest && <rect class="identifying" x={latest} y={y - 5} width={needed - latest} height={5} />}
    </>
  );
}

function round_up(feet: number): number {
  return Math.max(1000, Math.ceil(feet / 1000) * 1000);
}

/** The height that the top of the lane stands for. */
export function heights_top_ft(ribbon: RibbonDocument): number {
  return round_up(1.08 * Math.max(0, ...ribbon.heights.flatMap((at) => [at.altitude_msl_ft, at.minimum_msl_ft ?? 0, at.ground_msl_ft ?? 0])));
}

/** Where a marker beacon is passed: a tick across the altitude flown, with the letter of its lamp. */
function MarkerTicks(props: { on: DrawnOn; passed: readonly MarkerPassed[]; y: (feet: number) => number }) {
  const { on, passed, y } = props;
  return (
    <>
      {passed.map((marker) => {
        const [x, at_y] = [on.at_px(marker), y(marker.altitude_msl_ft)];
        if (x < on.scale.left_px || x > on.scale.right_px) return null;
        return (
          <g class="marker-passed">
            <line x1={x} x2={x} y1={at_y - 6} y2={at_y + 6} />
            <text x={x} y={at_y - 9} text-anchor="middle">
              {marker.letter}
            </text>
          </g>
        );
      })}
    </>
  );
}

export function HeightsLane(props: { on: DrawnOn; lane: Lanes["heights"]; held: readonly Deviation[] | undefined; passed: readonly MarkerPassed[] }) {
  const { on, lane, held, passed } = props;
  const { heights } = on.ribbon;
  const base_y = lane.top_px + lane.height_px - 2;
  const px_per_ft = (lane.height_px - 6) / heights_top_ft(on.ribbon);
  const y = (feet: number) => base_y - feet * px_per_ft;
  const grounds = known_runs(heights, "ground_msl_ft");
  const minimums = known_runs(heights, "minimum_msl_ft");
  return (
    <g class="heights">
      {grounds.map((run) => {
        const line = run.map((at) => [on.at_px(at), y(at.ground_msl_ft!)] as const);
        return <path class="ground" d={`${slopes(line)}L${line.at(-1)![0].toFixed(1)},${base_y}L${line[0]![0].toFixed(1)},${base_y}Z`} />;
      })}
      {minimums.map((run) => (
        <path class="minimum" d={stairs(run.map((at) => [on.at_px(at), y(at.minimum_msl_ft!)] as const))} />
      ))}
      <path class="altitude" d={slopes(heights.map((at) => [on.at_px(at), y(at.altitude_msl_ft)] as const))} />
      {runs_of(held ?? [], "altitude_msl_ft").map((run) => (
        <path class="flown" d={slopes(run.map((at) => [on.at_px(at), y(at.altitude_msl_ft!)] as const))} />
      ))}
      <MarkerTicks on={on} passed={passed} y={y} />
      <MinimumTexts on={on} runs={minimums} y={y} />
    </g>
  );
}

function MinimumTexts(props: { on: DrawnOn; runs: ReturnType<typeof known_runs>; y: (feet: number) => number }) {
  const { on, runs, y } = props;
  const levels: Array<{ feet: number; left: number; right: number }> = [];
  for (const at of runs.flat()) {
    const [last, x] = [levels.at(-1), on.at_px(at)];
    if (last) last.right = Math.max(last.right, x);
    if (last?.feet !== at.minimum_msl_ft) levels.push({ feet: at.minimum_msl_ft!, left: x, right: x });
  }
  return (
    <>
      {levels.map((level) => {
        const left = Math.max(level.left, on.scale.left_px);
        const says = `${level.feet.toLocaleString("en")} ft`;
        if (Math.min(level.right, on.scale.right_px) - left < text_px(says) + 6) return null;
        return (
          <text class="minimum-says" x={left + 3} y={y(level.feet) + 12.5}>
            {says}
          </text>
        );
      })}
    </>
  );
}

export function WindLane(props: { on: DrawnOn; lane: Lanes["wind"] }) {
  const { on, lane } = props;
  let free_from_px = on.scale.left_px;
  return (
    <g class="wind">
      {on.ribbon.wind.map((wind) => {
        const x = Math.max(on.at_px(wind), on.scale.left_px);
        const says = `${course(wind.from_true_deg)}/${String(Math.round(wind.speed_kt)).padStart(2, "0")}`;
        const width = 18 + text_px(says) + 10;
        if (x < free_from_px || x + width > on.scale.right_px) return null;
        free_from_px = x + width + 24;
        return (
          <g transform={`translate(${x.toFixed(1)} ${lane.top_px + 11})`}>
            <path d="M0,-7V7M-3.5,2.5L0,7L3.5,2.5" transform={`translate(8 0) rotate(${wind.from_true_deg})`} />
            <text x={20} y={4.2}>
              {says}
            </text>
          </g>
        );
      })}
    </g>
  );
}

