/** The surround's lightness: follows the system until a person chooses, then a cookie keeps the choice. */
export class Booth {
  /** @param {HTMLElement} root @param {HTMLButtonElement} button */
  constructor(root, button) {
    this.root = root;
    this.button = button;
    this.system = matchMedia("(prefers-color-scheme: dark)");
    this.onPress = () => this.choose(this.isDark() ? "light" : "dark");
    this.onSystem = () => this.show();
    button.addEventListener("click", this.onPress);
    this.system.addEventListener("change", this.onSystem);
    button.hidden = false;
    this.show();
  }

  isDark() {
    const chosen = this.root.dataset.booth;
    return chosen ? chosen === "dark" : this.system.matches;
  }

  /** @param {"light" | "dark"} booth */
  choose(booth) {
    this.root.dataset.booth = booth;
    document.cookie = `booth=${booth}; path=/; max-age=31536000; samesite=lax`;
    this.show();
  }

  show() {
    this.button.setAttribute("aria-pressed", String(this.isDark()));
  }

  dispose() {
    this.button.removeEventListener("click", this.onPress);
    this.system.removeEventListener("change", this.onSystem);
  }
}

const button = document.querySelector("[data-booth-switch]");
if (button instanceof HTMLButtonElement) new Booth(document.documentElement, button);
