// Writes figures in Prometheus' text format 0.0.4.

export type Metric = {
  name: string;
  help: string;
  type: "counter" | "gauge";
  samples: { labels?: Record<string, string>; value: number }[];
};

/** Metrics without a sample are left out: missing is not zero. */
export function formatMetrics(metrics: Metric[]): string {
  return metrics
    .filter(({ samples }) => samples.length > 0)
    .map(({ name, help, type, samples }) => {
      const lines = samples.map(({ labels, value }) => `${name}${labelText(labels)} ${value}`);
      return `# HELP ${name} ${help}\n# TYPE ${name} ${type}\n${lines.join("\n")}\n`;
    })
    .join("");
}

function labelText(labels: Record<string, string> | undefined): string {
  if (labels === undefined) return "";
  const pairs = Object.entries(labels).map(([name, value]) => `${name}="${escaped(value)}"`);
  return `{${pairs.join(",")}}`;
}

function escaped(value: string): string {
  return value.replaceAll("\\", "\\\\").replaceAll('"', '\\"').replaceAll("\n", "\\n");
}
