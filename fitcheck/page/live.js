// A picture that is slid sideways stays where it is when a new one, of the next step, takes its place.
addEventListener("DOMContentLoaded", () => {
  const slid = [];
  const figures = () => document.querySelectorAll(".sheet figure");
  addEventListener("scroll", event => figures().forEach((each, k) => {
    if (each === event.target) slid[k] = each.scrollLeft;
  }), true);
  new MutationObserver(() => figures().forEach((each, k) => {
    if (slid[k] !== undefined && each.scrollLeft !== slid[k]) each.scrollLeft = slid[k];
  })).observe(document.body, {childList: true, subtree: true});
});
