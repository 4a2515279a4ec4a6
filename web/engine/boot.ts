// SPDX-License-Identifier: Apache-2.0
//
// A page whose script travels packed, as the engine does: this unpacks and starts it.
import { unpackedPart } from "./embedded";

unpackedPart("lw-script").then(
  (bytes) => {
    const script = document.createElement("script");
    script.type = "module";
    script.textContent = new TextDecoder().decode(bytes);
    document.head.append(script);
  },
  (error: Error) => {
    const notice = document.getElementById("notice")!;
    notice.textContent = error.message;
    notice.hidden = false;
  },
);
