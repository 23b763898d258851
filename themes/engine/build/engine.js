// The parts of the chart engine that the journal's charts use, and no others.
// Everything else is left out when the bundle is made.
import { init, use } from 'echarts/core';
import { LineChart, ScatterChart } from 'echarts/charts';
import {
  AriaComponent,
  DataZoomComponent,
  GridComponent,
  MarkAreaComponent,
  MarkLineComponent,
  MarkPointComponent,
} from 'echarts/components';
import { SVGRenderer } from 'echarts/renderers';

use([
  LineChart, ScatterChart, GridComponent, DataZoomComponent, MarkLineComponent,
  MarkAreaComponent, MarkPointComponent, AriaComponent, SVGRenderer,
]);

globalThis.voltwrightChartEngine = { init };
