// Saves what is in sight: the figure as a picture, its figures as a table.
import { handOver } from "./hand-over.ts";
import { savePicture } from "./picture.ts";

export function SaveButtons(props: {
  /** Of the files, without its ending. */
  name: string;
  figure: () => HTMLElement | null;
  csv: () => string;
}) {
  const { name, figure, csv } = props;
  return (
    <p class="saves not-printed">
      <button
        type="button"
        class="quiet"
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
        onClick={() => handOver(new Blob([csv()], { type: "text/csv" }), `${name}.csv`)}
      >
        Save the figures
      </button>
    </p>
  );
}
