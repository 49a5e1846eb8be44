// A table that may be wider than the screen: it scrolls by itself, by finger and by keyboard.
import type { ComponentChildren } from "preact";

export function WideTable({ label, children }: { label: string; children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard (axe, WCAG 2.1.1)
    <section class="table-scroll" aria-label={label} tabIndex={0}>
      <table class="ranks">{children}</table>
    </section>
  );
}
