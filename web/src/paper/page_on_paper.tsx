import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import type { DebriefDocument, FindDocument, RehearseDocument } from "../api/generated";
import type { ChartPaper } from "../chart/chart_paper";
import { Legend } from "../chart/legend";
import type { Overlay } from "../chart/overlay";
import { Flown, Practise, StepsDebriefed } from "../debrief/debrief_view";
import { ReadList, Told as ToldPlace } from "../find/find_view";
import { type FindAsked, known_says } from "../find/reading";
import type { Axis } from "../flight/address";
import type { Answer } from "../flight/answer";
import { RasterLegend } from "../layers/layers_box";
import { Ranked, WouldUnblock } from "../plan/findings";
import { Verdict, VerdictByHand } from "../plan/verdict";
import { Outcome, StepsRehearsed, WeakPoints } from "../rehearse/rehearsed";
import type { Deviation } from "../ribbon/deviation_lanes";
import type { MarkerPassed } from "../ribbon/markers_passed";
import { height_on_paper_px, RibbonOnPaper } from "../ribbon/ribbon_view";
import type { InWords } from "./flight_in_words";
import { Sheets } from "./sheets";
import { StepsTable } from "./steps_table";

/** What is done with the flight, and stands on the paper with it. */
export type Doing =
  | { readonly view: "plan" }
  | { readonly view: "rehearse"; readonly found: RehearseDocument }
  | { readonly view: "debrief"; readonly found: DebriefDocument }
  | { readonly view: "find"; readonly asked: FindAsked; readonly found: FindDocument | null };

interface Props {
  readonly words: InWords;
  readonly answer: Answer;
  readonly axis: Axis;
  readonly picked: number | null;
  readonly held: readonly Deviation[] | undefined;
  readonly passed: readonly MarkerPassed[];
  readonly overlay: Overlay;
  readonly chart: ChartPaper | null;
  readonly doing: Doing;
}

/** Nothing is picked on paper. */
const pick = () => {};

/** As wide as the ribbon; beside nothing else on its sheet as high as this. */
const chart_px = { width: 700, height: 480, least: 280 };
/** What an A4 sheet leaves of its height to ribbon and chart, below the answer and with both legends. */
const left_on_sheet_px = 800;
/** What the legend of a raster takes of it. */
const legend_px = 45;

/** So high that ribbon and chart stand on one sheet of A4, where that leaves enough. */
function chart_height_px(beside_px: number): number {
  const left_px = left_on_sheet_px - beside_px;
  return left_px < chart_px.least ? chart_px.height : Math.min(left_px, chart_px.height);
}

function ChartOnPaper(props: { chart: ChartPaper; beside_px: number; ribbon: Answer["ribbon"]; overlay: Overlay }) {
  const { chart, beside_px, ribbon, overlay } = props;
  const box = useRef<HTMLDivElement>(null);
  const drawn = chart.draw({ width_px: chart_px.width, height_px: chart_height_px(beside_px + legend_px * chart.rasters.length) });
  useLayoutEffect(() => box.current?.replaceChildren(drawn.canvas), [drawn]);
  return (
    <figure class="chart-on-paper">
      <div ref={box} />
      <Legend ribbon={ribbon} overlay={overlay} />
      {chart.rasters.map((raster) => (
        <RasterLegend raster={raster} inks={drawn.inks} />
      ))}
    </figure>
  );
}

/** What the lanes of the ribbon mean: on the screen one rests on them to be told. */
function RibbonLegend() {
  return (
    <p class="ribbon-legend">
      Bars: where a station is heard, fading to its edge; the thin bar below is its DME. Black under a bar: a set that stands on it, heavy where it guides, thinner where it tells the end of a step, thin
      where it checks, dotted where it only stands on it. Triangle: from there on a set can be tuned; hatched: too late. Heights: flown, dashed the minimum, grey the ground.
    </p>
  );
}

function caution_of({ answer, doing }: Props): string {
  const found = doing.view === "find" ? doing.found : null;
  return (answer.plan ?? answer.judged ?? found ?? answer.card)?.caution ?? "Not for real-world navigation.";
}

/** What is said of the doing before the pictures, and what after them. */
function said(doing: Doing, answer: Answer): { readonly before: ComponentChildren; readonly after: ComponentChildren } {
  const { plan, judged, card } = answer;
  switch (doing.view) {
    case "rehearse":
      return {
        before: doing.found.rehearsal && <Outcome found={doing.found.rehearsal} no_runway={doing.found.no_runway} />,
        after: doing.found.rehearsal && (
          <>
            <WeakPoints weak={doing.found.rehearsal.weak_points} pick={pick} all />
            <StepsRehearsed found={doing.found.rehearsal} pick={pick} />
          </>
        ),
      };
    case "debrief":
      return {
        before: (
          <>
            <Flown found={doing.found} />
            <Practise practise={doing.found.practise} pick={pick} />
          </>
        ),
        after: <StepsDebriefed found={doing.found} pick={pick} />,
      };
    case "find":
      return {
        before: (
          <>
            <p class="figures">
              {known_says(doing.asked).map((says) => (
                <span>{says}</span>
              ))}
            </p>
            <ReadList asked={doing.asked} found={doing.found} drop={pick} />
          </>
        ),
        after: doing.found && (
          <div class="find">
            <ToldPlace found={doing.found} read={pick} />
          </div>
        ),
      };
    case "plan":
      return {
        before: null,
        after: (
          <>
            {card && <StepsTable card={card} />}
            {plan && (
              <>
                <Ranked title="Findings" findings={plan.findings} pick={pick} all />
                <WouldUnblock changes={plan.would_unblock} />
                {!plan.flight && <Ranked title="Refused" findings={plan.refused} pick={pick} all />}
              </>
            )}
            {judged && <Ranked title="Findings" findings={judged.findings} pick={pick} all />}
          </>
        ),
      };
  }
}

/** The page as it stands, for paper. */
export function PageOnPaper(props: Props) {
  const { words, answer, axis, picked, held, passed, overlay, chart, doing } = props;
  const { plan, judged } = answer;
  const { before, after } = said(doing, answer);
  const is_find = doing.view === "find";
  // Who is lost is on no place of it.
  const on_ribbon = is_find ? null : answer.ribbon;
  return (
    <Sheets title={is_find ? `Where am I: ${words.title}` : words.title} figures={words.figures} caution={caution_of(props)}>
      {plan && <Verdict plan={plan} />}
      {judged && <VerdictByHand judged={judged} />}
      {before}
      {on_ribbon && (
        <figure>
          <RibbonOnPaper ribbon={on_ribbon} axis={axis} picked={picked} held={held} passed={passed} />
          <RibbonLegend />
        </figure>
      )}
      {chart && <ChartOnPaper chart={chart} beside_px={on_ribbon ? height_on_paper_px(on_ribbon, held) : 0} ribbon={on_ribbon} overlay={overlay} />}
      {after}
    </Sheets>
  );
}
