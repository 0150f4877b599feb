import { useRef } from "preact/hooks";
import * as service from "../api/service";
import { useAsked } from "../api/use_asked";

/** A thing of the atlas whose figures are asked for. */
export interface Wanted {
  readonly kind: string;
  readonly ident: string;
  /** The label of the figure that was meant: of an airway its segment. */
  readonly row?: string;
}

/** The figures of what was clicked, as the service words them: that kind first, where several things bear the ident. */
export function FiguresView(props: { wanted: Wanted; close: () => void }) {
  const { wanted, close } = props;
  const { found: shown, problem } = useAsked(wanted.ident, service.show);
  const box = useRef<HTMLElement>(null);
  const found = [...(shown?.found ?? [])].sort((one, other) => Number(other.kind === wanted.kind) - Number(one.kind === wanted.kind));
  return (
    <section
      class="figures-view"
      aria-label={`Figures of ${wanted.ident}`}
      aria-busy={!shown && !problem}
      tabIndex={-1}
      ref={box}
      onKeyDown={(event) => {
        if (event.key === "Escape") close();
      }}
    >
      <button type="button" class="close" aria-label="Close the figures" onClick={close}>
        ×
      </button>
      {problem && <p role="alert">{problem.message}</p>}
      {!shown && !problem && <p>{wanted.ident}</p>}
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
