import { useEffect, useState } from "preact/hooks";
import type { CardDocument, GroundspeedCheckDocument } from "../api/generated";
import * as service from "../api/service";

/** What the times on the legs of a card tell; null as long as nobody has said. Without it times are noted all the same. */
export function useGroundspeedCheck(card: CardDocument | null): GroundspeedCheckDocument | null {
  const [check, set_check] = useState<GroundspeedCheckDocument | null>(null);
  useEffect(() => {
    set_check(null);
    if (!card) return;
    const cancel = new AbortController();
    service.groundspeed_check(card, cancel.signal).then(set_check, () => {});
    return () => cancel.abort();
  }, [card]);
  return check;
}
