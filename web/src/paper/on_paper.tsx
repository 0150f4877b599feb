import { type ComponentChild, render } from "preact";
import { useEffect, useRef } from "preact/hooks";

/**
 * What is printed in place of the page: made at the moment of printing, for a sheet's width and in black on white, and gone after it. It stands before the page,
 * so that a pattern or gradient of both is taken from what is drawn.
 */
export function OnPaper(props: { make: () => ComponentChild }) {
  const make = useRef(props.make);
  make.current = props.make;
  useEffect(() => {
    const box = document.createElement("div");
    box.className = "paper paper-inks";
    const begin = () => {
      document.body.prepend(box);
      document.documentElement.dataset["paper"] = "";
      render(make.current(), box);
    };
    const end = () => {
      render(null, box);
      box.remove();
      delete document.documentElement.dataset["paper"];
    };
    addEventListener("beforeprint", begin);
    addEventListener("afterprint", end);
    return () => {
      removeEventListener("beforeprint", begin);
      removeEventListener("afterprint", end);
      end();
    };
  }, []);
  return null;
}
