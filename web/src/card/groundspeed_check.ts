import type { CardDocument, GroundspeedCheckDocument } from "../api/generated";
import * as service from "../api/service";
import { useAsked } from "../api/use_asked";

/** What the times on the legs of a card tell; null as long as nobody has said. Without it times are noted all the same. */
export const useGroundspeedCheck = (card: CardDocument | null): GroundspeedCheckDocument | null => useAsked(card, service.groundspeed_check).found;
