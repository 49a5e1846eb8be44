// A table that may be wider than the screen: it scrolls by itself, by finger and by keyboard.
import type { ComponentChildren } from "preact";

export function WideTable(props: {
  label: string;
  /** Classes of the table. */
  look?: string;
  children: ComponentChildren;
}) {
  const { label, look = "ranks", children } = props;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard (axe, WCAG 2.1.1)
    <section class="table-scroll" aria-label={label} tabIndex={0}>
      <table class={look}>{children}</table>
    </section>
  );
}
