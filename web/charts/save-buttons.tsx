// Saves what is in sight: the figure as a picture, its figures as a table.
import { handOver } from "./hand-over.ts";
import { savePicture } from "./picture.ts";

export function SaveButtons(props: {
  /** Of the files, without its ending. */
  name: string;
  figure: () => HTMLElement | null;
  csv: () => string;
  /** What is in sight has come: before that the figures would be of another span. */
  ready: boolean;
}) {
  const { name, figure, csv, ready } = props;
  return (
    <p class="saves stays not-printed">
      <button
        type="button"
        class="quiet"
        disabled={!ready}
        onClick={() => {
          const found = figure();
          if (found !== null) savePicture(found, name);
        }}
      >
        Save the picture
      </button>
      <button
        type="button"
        class="quiet"
        disabled={!ready}
        onClick={() => handOver(new Blob([csv()], { type: "text/csv" }), `${name}.csv`)}
      >
        Save the figures
      </button>
    </p>
  );
}
