// How wide the frame of an engine's picture is asked for, so that it need not be shrunk or slid.

export const NARROW = 230; // px, where there is a column or a phone
const WIDE = 460;

export const frameWidth = () =>
  document.documentElement.clientWidth >= 700 ? WIDE : NARROW;
