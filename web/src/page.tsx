import type { ComponentType } from "preact";
import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { CardDocument, DebriefDocument, FindDocument, PlanDocument, RehearseDocument } from "./api/generated";
import type { AboutDocument, ChartDocument, RibbonDocument } from "./api/pictures";
import * as service from "./api/service";
import { AskForm } from "./ask/ask_form";
import { BuildView } from "./build/build_view";
import { type Choice, marked } from "./build/choices";
import { empty_route, text_of } from "./build/hand_route";
import { type Build, route_question, useBuild } from "./build/use_build";
import { CardView } from "./card/card_view";
import { useGroundspeedCheck } from "./card/groundspeed_check";
import { keep_card } from "./card/keep_card";
import { StepText } from "./card/step_text";
import type { Found } from "./chart/chart_map";
import type { ChartPaper } from "./chart/chart_paper";
import type { ChartView } from "./chart/chart_view";
import { no_overlay } from "./chart/overlay";
import { CompareView } from "./compare/compare_view";
import { DebriefView, StepsDebriefed } from "./debrief/debrief_view";
import { deviations_of, overlay_of as overlay_of_track } from "./debrief/flown_track";
import { type Track, useDebrief } from "./debrief/use_debrief";
import { FindView } from "./find/find_view";
import { empty_draft } from "./find/reading_form";
import { overlay_of } from "./find/region";
import { useFinding } from "./find/use_finding";
import type { Address, ByHand, View } from "./flight/address";
import { is_on, step_at } from "./flight/along";
import { type Answer, type Asked, flown_of, useAnswer } from "./flight/answer";
import { as_labelled } from "./flight/as_labelled";
import { Cursor } from "./flight/cursor";
import { names_of, no_names, with_files } from "./flight/given_files";
import { type Put, useAddress } from "./flight/use_address";
import { useGivenFiles } from "./flight/use_given_files";
import { where_says } from "./flight/where_says";
import { PanelView } from "./panel/panel_view";
import { card_in_words, flight_in_words } from "./paper/flight_in_words";
import { OnPaper } from "./paper/on_paper";
import { type Doing, PageOnPaper } from "./paper/page_on_paper";
import { Told } from "./plan/findings";
import { Verdict, VerdictByHand } from "./plan/verdict";
import { StepsRehearsed } from "./rehearse/rehearsed";
import { RehearseView } from "./rehearse/rehearse_view";
import { abeam, type Replay, useReplay } from "./rehearse/replay";
import { useRehearsal } from "./rehearse/use_rehearsal";
import { markers_passed } from "./ribbon/markers_passed";
import { RibbonView } from "./ribbon/ribbon_view";
import { ViewSwitch } from "./view_switch";

function useAbout(): [AboutDocument | null, service.Problem | null] {
  const [about, set_about] = useState<AboutDocument | null>(null);
  const [problem, set_problem] = useState<service.Problem | null>(null);
  useEffect(() => {
    const cancel = new AbortController();
    service.about(cancel.signal).then(set_about, (fault: unknown) => {
      if (!cancel.signal.aborted) set_problem(service.problem_of(fault));
    });
    return () => cancel.abort();
  }, []);
  return [about, problem];
}

/** What lies about all flights of the region, asked for as soon as it is known where that is. */
function useChart(about: AboutDocument | null): ChartDocument | null {
  const [chart, set_chart] = useState<ChartDocument | null>(null);
  const region = about?.chart;
  useEffect(() => {
    if (!region) return;
    const cancel = new AbortController();
    // Where the service is gone, the answer to the question says so.
    service.chart(region, cancel.signal).then(set_chart, () => {});
    return () => cancel.abort();
  }, [region]);
  return chart;
}

/** The chart comes in a file of its own: the ribbon need not wait for it, and it comes while the flight is planned. */
const chart_view = import("./chart/chart_view");

function useChartView(): ComponentType<Parameters<typeof ChartView>[0]> | null {
  const [view, set_view] = useState<{ readonly of: typeof ChartView } | null>(null);
  useEffect(() => {
    void chart_view.then((module) => set_view({ of: module.ChartView }));
  }, []);
  return view?.of ?? null;
}

/** The address bar follows the cursor when it has come to rest, not while it moves. */
function useNotedCursor(cursor: Cursor, note: (at_s: number) => void): void {
  useEffect(() => {
    let timer = 0;
    const drop = () => clearTimeout(timer);
    const end = cursor.watch((at_s) => {
      drop();
      timer = window.setTimeout(() => note(at_s), 300);
    });
    // Where one comes back to, it stood elsewhere.
    addEventListener("popstate", drop);
    return () => {
      drop();
      removeEventListener("popstate", drop);
      end();
    };
  }, [cursor, note]);
}

/** A route by hand is judged once it has a point: without one there is nothing to judge. */
function asked_of(question: service.PlanQuestion | null, by_hand: ByHand | null): Asked | null {
  if (!question) return null;
  if (!by_hand) return { question };
  return by_hand.route.split(" ").length > 2 ? { by_hand: route_question(question, by_hand) } : null;
}

/** A planned flight as a route to be changed, on the same approach at the same altitude. */
const flight_as_route = (flight: NonNullable<PlanDocument["flight"]>): ByHand => ({
  route: flight.route,
  approach: flight.approach,
  altitude_ft: flight.cruise_altitude_msl_ft,
});

/** What a click on the chart puts into a route; an airway up to the end that was clicked nearer to, along it where it is there already. */
function put_found(build: Build, choices: readonly Choice[], found: Found): boolean {
  switch (found.kind) {
    case "choice":
      build.put(choices[found.index]!);
      return true;
    case "station":
      build.put({ legs: [{ via: "DCT", to: found.station.ident }] });
      return true;
    case "fix":
      build.put({ legs: [{ via: "DCT", to: found.ident }] });
      return true;
    case "airway": {
      const { designator, from, to } = found.airway;
      const begins = found.towards === to ? from : to;
      const joined = build.next?.airways.some((airway) => airway.designator === designator && airway.points.some((point) => point.ident === found.towards));
      const along = { via: designator, to: found.towards };
      build.put({ legs: joined || begins === build.behind ? [along] : [{ via: "DCT", to: begins }, along] });
      return true;
    }
    default:
      return false;
  }
}

function ErrorText(props: { error: service.Problem["errors"][number]; says: (text: string) => string }) {
  const { error, says } = props;
  const where = where_says(error.where);
  return (
    <>
      {where && <b>{where}: </b>}
      {says(error.message)} <code>{error.code}</code>
    </>
  );
}

/** The labels are those of the question about a flight, unless another view has fields of its own. */
function ProblemText(props: { problem: service.Problem; says?: (text: string) => string }) {
  const { problem, says = as_labelled } = props;
  return (
    <section class="problem" role="alert">
      <h2>{problem.status === 0 ? "No answer" : "This could not be answered"}</h2>
      {!problem.errors.some((error) => error.message === problem.message) && <p>{says(problem.message)}</p>}
      <ul>
        {problem.errors.map((error) => (
          <li>
            <ErrorText error={error} says={says} />
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The step that was picked; where none is, the one under the cursor. */
function StepUnderCursor(props: { card: CardDocument; ribbon: RibbonDocument; cursor: Cursor; picked: number | null }) {
  const { card, ribbon, cursor, picked } = props;
  const [at, set_at] = useState(() => step_at(ribbon.steps, cursor.at_s)?.number);
  useEffect(() => cursor.watch((at_s) => set_at(step_at(ribbon.steps, at_s)?.number)), [ribbon, cursor]);
  const step = card.card.steps.find((one) => one.number === (picked ?? at)) ?? card.card.missed.find((one) => one.number === picked);
  return (
    <section class="step-now" aria-label="Step">
      {step && <StepText step={step} level={2} />}
    </section>
  );
}

export function Page() {
  const { address, put, came_back } = useAddress();
  const [about, about_problem] = useAbout();
  const question: service.PlanQuestion | null = address.question ?? about?.first_question ?? null;
  const { files, missing, keep } = useGivenFiles(address.given);
  // Without a file that it was asked with it would be another flight.
  const whole = useMemo(() => (missing.length > 0 ? null : question && with_files(question, files)), [question, files, missing]);
  const { by_hand } = address;
  const asked = asked_of(whole, by_hand);
  const answer = useAnswer(asked);
  // What is drawn while the next answer is waited for is of another flight: its steps are not those of the address bar.
  const flown = JSON.stringify(answer.asked) === JSON.stringify(asked) ? answer.ribbon : null;
  const chart = useChart(about);
  const build = useBuild(
    whole,
    by_hand,
    chart,
    useCallback((by_hand: ByHand) => put({ by_hand, step: null }, "note"), [put]),
  );
  const cursor = useMemo(() => new Cursor(address.at_s), []);
  // A step is picked in all views at once: where the cursor is not on it, it goes to its beginning. On the card one goes from step to step, and back leaves it.
  const pick = useCallback(
    (step: number | null) => {
      put({ at_s: cursor.at_s }, "note");
      put({ step }, address.view === "card" ? "note" : "step");
      const on = answer.ribbon?.steps.find((one) => one.number === step);
      if (on && !is_on(on, cursor.at_s)) cursor.move(on.begins_s);
    },
    [put, cursor, answer.ribbon, address.view],
  );
  useNotedCursor(
    cursor,
    useCallback((at_s: number) => put({ at_s }, "note"), [put]),
  );
  // Before anything else may happen: a step picked meanwhile would lose the cursor to the one before it.
  useLayoutEffect(() => {
    if (!flown) return;
    cursor.length_s = flown.time_with_missed_s;
    const picked = flown.steps.find((one) => one.number === address.step);
    cursor.move(picked && !is_on(picked, address.at_s) ? picked.begins_s : address.at_s);
  }, [flown, came_back]);
  useEffect(() => {
    if (answer.ribbon) performance.mark("omniway-ribbon-drawn");
  }, [answer.ribbon]);
  useLayoutEffect(() => {
    const step = flown?.steps.find((one) => one.number === address.step);
    // A step stays picked while the cursor is on it.
    if (!step) return;
    return cursor.watch((at_s) => {
      if (!is_on(step, at_s)) put({ step: null }, "note");
    });
  }, [flown, address.step, cursor, put]);
  const card_flown = useMemo(() => flown_of(answer), [answer.card]);
  const rehearsing = useRehearsal(card_flown, address.view === "rehearse" ? address.rehearsal : null);
  const replaying = useReplay(card_flown, address.view === "rehearse" ? address.rehearsal : null, address.replay);
  const [track, set_track] = useState<Track | null>(null);
  const debriefing = useDebrief(card_flown, address.view === "debrief" ? track : null);
  useEffect(() => replaying.replay ? abeam(cursor, replaying.replay) : undefined, [cursor, replaying.replay]);
  useEffect(() => {
    document.documentElement.dataset["colours"] = address.night ? "night" : "day";
  }, [address.night]);
  useEffect(() => {
    document.title = question ? `${question.from} to ${question.to} - omniway` : "omniway";
  }, [question?.from, question?.to]);

  // The chart of who is lost stands about where that may be, that of a flight about the flight.
  const go = (view: View) => put({ view, ...((view === "find") === (address.view === "find") ? {} : { chart: null }) }, "visit");
  const build_from = (by_hand: ByHand) => put({ by_hand, step: null, over: [] }, "visit");
  const check = useGroundspeedCheck(address.view === "card" ? answer.card : null);

  if (address.view === "card" && answer.card) {
    const { card } = answer;
    return (
      <CardView
        card={card}
        words={question ? flight_in_words(question, answer.plan, card, today()) : card_in_words(card)}
        check={check}
        step={address.step}
        pick={pick}
        close={() => go("plan")}
        keep={() => keep_card(card)}
        night={address.night}
        set_night={(night) => put({ night }, "note")}
        log={address.over}
        set_log={(over) => put({ over }, "note")}
      />
    );
  }
  const problem = answer.problem ?? about_problem;
  // No plan flashes up before the card that was asked for.
  if (address.view === "card" && !problem && missing.length === 0 && (answer.busy || !answer.plan)) return <main class="card-view" aria-busy />;
  return (
    <main class={answer.busy ? "page busy" : "page"} aria-busy={answer.busy}>
      <header class="top">
        <a class="name" href="./">
          omniway
        </a>
        <AskForm
          key={JSON.stringify([question, address.given])}
          question={question}
          files={files}
          aircraft={about?.aircraft ?? []}
          busy={answer.busy}
          ask={(asked, given) => {
            keep(given);
            put({ question: asked, given: names_of(given), by_hand: null, step: null, at_s: 0, seen: null, chart: null, over: [], replay: null }, "visit");
          }}
        />
        <ViewSwitch view={address.view} ready={answer.card !== null} go={go} night={address.night} set_night={(night) => put({ night }, "note")} />
      </header>
      {problem && !(build && problem.errors.length > 0) && <ProblemText problem={problem} />}
      {missing.length > 0 && (
        <section class="problem" role="alert">
          <h2>{missing.length === 1 ? "A file is missing" : "Files are missing"}</h2>
          <ul>
            {missing.map(({ label, name }) => (
              <li>
                <b>{label}:</b> {name}
              </li>
            ))}
          </ul>
          <p>
            This flight was asked with more than a bookmark keeps: give it again under More and press Plan. Until then nothing is planned, and a place is found with the aircraft
            named above.
          </p>
          <button type="button" onClick={() => put({ given: no_names }, "visit")}>
            Plan without
          </button>
        </section>
      )}
      {answer.plan && (
        <Verdict plan={answer.plan}>
          {address.view === "plan" && (
            <div class="buttons">
              {answer.plan.flight && (
                <button type="button" onClick={() => build_from(flight_as_route(answer.plan!.flight!))}>
                  Change this flight
                </button>
              )}
              <button type="button" onClick={() => question && build_from({ route: text_of(empty_route(question.from, question.to)), approach: "", altitude_ft: null })}>
                Build by hand
              </button>
            </div>
          )}
        </Verdict>
      )}
      {answer.judged && <VerdictByHand judged={answer.judged} />}
      {address.view === "rehearse" && (
        <RehearseView
          asked={address.rehearsal}
          ready={answer.card !== null}
          rehearsing={rehearsing}
          replaying={replaying}
          run={(rehearsal) => put({ rehearsal, replay: null }, rehearsal ? "visit" : "note")}
          replay={(replay) => put({ replay }, "visit")}
          pick={pick}
          problem_text={(problem) => <ProblemText problem={problem} />}
        />
      )}
      {address.view === "debrief" && (
        <DebriefView
          ready={answer.card !== null}
          track={track}
          set_track={set_track}
          debriefing={debriefing}
          pick={pick}
          problem_text={(problem) => <ProblemText problem={problem} />}
        />
      )}
      <Pictures
        about={about}
        chart={chart}
        answer={answer}
        question={question}
        whole={whole ?? question}
        address={address}
        cursor={cursor}
        put={put}
        pick={pick}
        replay={replaying.replay}
        rehearsed={address.view === "rehearse" ? rehearsing.found : null}
        flown={debriefing.found}
        build={address.view === "plan" ? build : null}
        leave={() => put({ by_hand: null, step: null }, "visit")}
      />
      {address.view === "rehearse" && rehearsing.found?.rehearsal && <StepsRehearsed found={rehearsing.found.rehearsal} pick={pick} />}
      {debriefing.found && <StepsDebriefed found={debriefing.found} pick={pick} />}
      {address.view === "plan" && answer.plan && (
        <Told plan={answer.plan} pick={pick}>
          <CompareView
            plan={answer.plan}
            chosen={answer.asked && "question" in answer.asked ? (answer.asked.question.choose ?? 1) : 1}
            choose={(choose) => question && put({ question: { ...question, choose }, step: null, over: [] }, "visit")}
            compare={() => question && put({ question: { ...question, choices: 3 } }, "visit")}
          />
        </Told>
      )}
    </main>
  );
}

/** Where no date is asked for, the service answers for this. */
const today = (): string => new Date().toISOString().slice(0, 10);

function doing_of(address: Address, parts: { rehearsed: RehearseDocument | null; flown: DebriefDocument | null; found: FindDocument | null }): Doing {
  const { rehearsed, flown, found } = parts;
  if (address.view === "find") return { view: "find", asked: address.find, found };
  if (rehearsed) return { view: "rehearse", found: rehearsed };
  return flown ? { view: "debrief", found: flown } : { view: "plan" };
}

/** At which the layers of the chart are asked for where nothing is flown yet. */
const height_without_flight_ft = 5000;

/** The views of one flight, and the step in words; or the chart alone with where one is. */
function Pictures(props: {
  about: AboutDocument | null;
  chart: ChartDocument | null;
  answer: Answer;
  question: service.PlanQuestion | null;
  /** With the texts of the files that were given, as far as they are at hand. */
  whole: service.PlanQuestion | null;
  address: Address;
  cursor: Cursor;
  put: Put;
  pick: (step: number | null) => void;
  /** A flight that was flown is laid over the one that was meant, and the panel is its. */
  replay: Replay | null;
  rehearsed: RehearseDocument | null;
  /** A track that was flown is laid over it. */
  flown: DebriefDocument | null;
  build: Build | null;
  leave: () => void;
}) {
  const { about, chart, answer, question, whole, address, cursor, put, pick, replay, rehearsed, flown, build, leave } = props;
  const { ribbon, card } = answer;
  const is_find = address.view === "find";
  const finding = useFinding(is_find ? address.find : null, whole, card);
  const [draft, set_draft] = useState(empty_draft);
  const panel = replay?.panel ?? answer.panel;
  const flown_by = replay?.cursor ?? cursor;
  // Where one has to be found, no aircraft is drawn where one should be.
  const aircraft = useMemo(() => (panel && !is_find ? { samples: panel.samples, cursor: flown_by } : null), [panel, flown_by, is_find]);
  const overlay = useMemo(() => {
    if (is_find) return finding.found ? overlay_of(finding.found) : no_overlay;
    return replay?.overlay ?? (flown ? overlay_of_track(flown) : no_overlay);
  }, [is_find, finding.found, replay, flown]);
  const held = useMemo(() => replay?.document.samples ?? (flown && ribbon ? deviations_of(flown, ribbon.steps) : undefined), [replay, flown, ribbon]);
  const passed = useMemo(() => markers_passed(panel?.samples ?? []), [panel]);
  const Chart = useChartView();
  const chart_paper = useRef<ChartPaper | null>(null);
  const note_seen = (seen: Address["seen"]) => {
    if (JSON.stringify(seen) !== JSON.stringify(address.seen)) put({ seen }, "ribbon");
  };
  const note_chart = (at: Address["chart"]) => {
    if (JSON.stringify(at) !== JSON.stringify(address.chart)) put({ chart: at }, "chart");
  };
  const next = build?.next ?? null;
  const choices = useMemo(() => (next ? marked(next) : []), [next]);
  if (!is_find && !build && (!ribbon || !card)) return null;
  return (
    <>
      <OnPaper
        make={() => (
          <PageOnPaper
            words={question ? flight_in_words(question, answer.plan, card, today()) : { title: "nowhere asked", figures: [today()] }}
            answer={answer}
            axis={address.axis}
            picked={address.step}
            held={held}
            passed={passed}
            overlay={overlay}
            chart={chart_paper.current}
            doing={doing_of(address, { rehearsed, flown, found: finding.found })}
          />
        )}
      />
      {!is_find && ribbon && (
        <RibbonView
          ribbon={ribbon}
          cursor={cursor}
          axis={address.axis}
          set_axis={(axis) => put({ axis, seen: null }, "ribbon")}
          picked={address.step}
          pick={pick}
          held={held}
          passed={passed}
          kept={address.seen}
          note_seen={note_seen}
        />
      )}
      <div class={is_find ? "below to-find" : build ? "below building" : "below"}>
        {Chart && about?.chart ? (
          <Chart
            region={about.chart}
            chart={chart}
            ribbon={ribbon}
            cursor={cursor}
            aircraft={aircraft}
            overlay={overlay}
            fitted_to={is_find && finding.found ? "overlay" : "flight"}
            picked={address.step}
            pick={pick}
            night={address.night}
            kept={address.chart}
            moved={note_chart}
            layers={address.layers}
            set_layers={(layers) => put({ layers }, "chart")}
            cruise_ft={card?.request.cruise_altitude_msl_ft ?? question?.altitude_ft ?? height_without_flight_ft}
            drawn={() => performance.mark("omniway-drawn")}
            pressed_station={is_find ? (station) => set_draft({ ...draft, station: station.ident }) : undefined}
            between={address.question ? [address.question.from, address.question.to] : []}
            choices={choices}
            take={build && ((found) => put_found(build, choices, found))}
            paper={chart_paper}
          />
        ) : (
          <section class="chart" aria-label="Chart" />
        )}
        {is_find ? (
          <FindView
            asked={address.find}
            finding={finding}
            put={(change) => put({ find: { ...address.find, ...change }, chart: null }, "visit")}
            draft={draft}
            set_draft={set_draft}
            stations={chart?.stations ?? []}
            has_card={card !== null}
            problem_text={(problem) => <ProblemText problem={problem} says={(text) => text} />}
          />
        ) : (
          <div class="beside">
            {build && <BuildView build={build} judged={answer.judged} problem={answer.problem} busy={answer.busy} pick={pick} leave={leave} />}
            {panel && <PanelView panel={panel} cursor={flown_by} />}
            {card && ribbon && <StepUnderCursor card={card} ribbon={ribbon} cursor={cursor} picked={address.step} />}
          </div>
        )}
      </div>
    </>
  );
}
