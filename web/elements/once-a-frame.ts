// SPDX-License-Identifier: Apache-2.0
//
// What happens oftener than a screen shows, shown once a frame. Nothing is shown of a page in the background.
export function onceAFrame(show: () => void): () => void {
  let waiting = false;
  return () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      show();
    });
  };
}
