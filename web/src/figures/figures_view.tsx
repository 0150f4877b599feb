import { useEffect, useRef, useState } from "preact/hooks";
import type { ShowDocument } from "../api/generated";
import * as service from "../api/service";

/** A thing of the atlas whose figures are asked for. */
export interface Wanted {
  readonly kind: string;
  readonly ident: string;
  /** The label of the figure that was meant: of an airway its segment. */
  readonly row?: string;
}

interface Answer {
  readonly shown: ShowDocument | null;
  readonly problem: string;
}

function useShown(ident: string): Answer {
  const [answer, set_answer] = useState<Answer>({ shown: null, problem: "" });
  useEffect(() => {
    const cancel = new AbortController();
    set_answer({ shown: null, problem: "" });
    service.show(ident, cancel.signal).then(
      (shown) => set_answer({ shown, problem: "" }),
      (fault: unknown) => {
        if (!cancel.signal.aborted) set_answer({ shown: null, problem: fault instanceof Error ? fault.message : String(fault) });
      },
    );
    return () => cancel.abort();
  }, [ident]);
  return answer;
}

/** The figures of what was clicked, as the service words them: that kind first, where several things bear the ident. */
export function FiguresView(props: { wanted: Wanted; close: () => void }) {
  const { wanted, close } = props;
  const { shown, problem } = useShown(wanted.ident);
  const box = useRef<HTMLElement>(null);
  const found = [...(shown?.found ?? [])].sort((one, other) => Number(other.kind === wanted.kind) - Number(one.kind === wanted.kind));
  return (
    <section
      class="figures-view"
      aria-label={`Figures of ${wanted.ident}`}
      aria-busy={!shown && problem === ""}
      tabIndex={-1}
      ref={box}
      onKeyDown={(event) => {
        if (event.key === "Escape") close();
      }}
    >
      <button type="button" class="close" aria-label="Close the figures" onClick={close}>
        ×
      </button>
      {problem && <p role="alert">{problem}</p>}
      {!shown && problem === "" && <p>{wanted.ident}</p>}
      {found.map((one) => (
        <>
          <h3>{one.title}</h3>
          <dl>
            {one.figures.map((figure) => (
              <div class={figure.label === wanted.row ? "meant" : ""}>
                <dt>{figure.label}</dt>
                <dd>{figure.value}</dd>
              </div>
            ))}
          </dl>
        </>
      ))}
    </section>
  );
}
