/** The surround's lightness: follows the system until a person chooses, then a cookie keeps the choice. */
const root = document.documentElement;
const button = document.querySelector("[data-booth-switch]");
const system = matchMedia("(prefers-color-scheme: dark)");

const isDark = () => (root.dataset.booth ? root.dataset.booth === "dark" : system.matches);
const show = () => button?.setAttribute("aria-pressed", String(isDark()));

if (button instanceof HTMLButtonElement) {
  button.hidden = false;
  button.addEventListener("click", () => {
    root.dataset.booth = isDark() ? "light" : "dark";
    document.cookie = `booth=${root.dataset.booth}; path=/; max-age=31536000; samesite=lax`;
    show();
  });
  system.addEventListener("change", show);
  show();
}
