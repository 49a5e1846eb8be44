// The page's colours for canvases, read from the style sheet so that they have one home.

export type Inks = {
  ink: string;
  soft: string;
  rule: string;
  warm: string;
  ice: string;
  iceWash: string;
  sap: string;
  sapEdge: string;
};

export function pageInks(): Inks {
  const style = getComputedStyle(document.documentElement);
  const ink = (name: string) => style.getPropertyValue(name).trim() || "#333";
  return {
    ink: ink("--ink"),
    soft: ink("--ink-soft"),
    rule: ink("--rule"),
    warm: ink("--warm"),
    ice: ink("--ice"),
    iceWash: ink("--ice-wash"),
    sap: ink("--sap"),
    sapEdge: ink("--sap-edge"),
  };
}
