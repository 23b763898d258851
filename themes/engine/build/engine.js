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
  TitleComponent,
  TooltipComponent,
} from 'echarts/components';
import { LabelLayout } from 'echarts/features';
import { SVGRenderer } from 'echarts/renderers';

use([
  LineChart, ScatterChart, GridComponent, TooltipComponent, DataZoomComponent, MarkLineComponent,
  MarkAreaComponent, MarkPointComponent, TitleComponent, AriaComponent, LabelLayout, SVGRenderer,
]);

globalThis.voltwrightChartEngine = { init };
