import type { ComponentChildren } from "preact";

interface Props {
  /** The flight in words. */
  readonly title: string;
  readonly figures: readonly string[];
  /** What it is not for. */
  readonly caution: string;
  readonly children: ComponentChildren;
}

/** Sheets of paper: a table, because its head and foot come again on every sheet, and take their room there. */
export function Sheets(props: Props) {
  const { title, figures, caution, children } = props;
  return (
    <table class="sheets" role="presentation">
      <thead>
        <tr>
          <td>
            <p class="sheet-head">
              <b>{title}</b>
              {figures.map((figure) => (
                <span>{figure}</span>
              ))}
            </p>
          </td>
        </tr>
      </thead>
      <tfoot>
        <tr>
          <td>
            <p class="sheet-foot">{caution}</p>
          </td>
        </tr>
      </tfoot>
      <tbody>
        <tr>
          <td>{children}</td>
        </tr>
      </tbody>
    </table>
  );
}
