/** The maker's ledger: the second signature can be drawn. */
import { startPads } from "./signature_pad.js";

startPads(document);
