// The focus stays near when what had it goes off the screen, as an answered question does: a
// keyboard and a screen reader would begin at the top of the page otherwise.

/** What stands around an element of the work, from the inside out. */
function roomsOf(one) {
  const out = [];
  let at = one?.parentElement;
  for (; at && at.id !== "main"; at = at.parentElement) out.push(at);
  return at ? out : [];
}

/** Who typed goes on typing; who chose reads the next question first. */
function firstIn(room, typed) {
  const wanted = [...(typed ? ["input, textarea"] : []), ".ask", "button, a, summary, input"];
  for (const selector of wanted)
    for (const one of room.querySelectorAll(selector))
      if (one.checkVisibility() && !one.disabled && !one.closest("[inert]")) return one;
  return null;
}

/** Draws; where that takes away what has the focus, what came into its place gets it. */
export function keepingFocus(draw) {
  const held = document.activeElement;
  const typed = held?.matches("input, textarea");
  const rooms = roomsOf(held);
  draw();
  if (rooms.length === 0 || held.isConnected) return;
  for (const room of rooms.filter((one) => one.isConnected)) {
    const next = firstIn(room, typed);
    if (next) return next.focus();
  }
}
