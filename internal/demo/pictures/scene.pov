// The photographs of the demo journal, as a model of parts that nobody built. Declare=View=N chooses one; README.md has the commands.
#version 3.7;
#include "functions.inc"
#ifndef (View) #declare View = 1; #end
global_settings { assumed_gamma 1.0 max_trace_level 6 }

#declare Paint = function { pow(x, 2.2) }
#macro Colour(R, G, B) rgb <Paint(R, 0, 0), Paint(G, 0, 0), Paint(B, 0, 0)> #end
#macro Matt(R, G, B) pigment { Colour(R, G, B) } finish { ambient 0.06 diffuse 0.75 specular 0.12 roughness 0.08 } #end
#macro Glossy(R, G, B) pigment { Colour(R, G, B) } finish { ambient 0.06 diffuse 0.7 specular 0.45 roughness 0.02 reflection 0.03 } #end
#declare Metal = texture { pigment { Colour(0.72, 0.72, 0.73) } finish { ambient 0.05 diffuse 0.55 specular 0.7 roughness 0.02 reflection 0.12 } }
#declare Brass = texture { pigment { Colour(0.80, 0.62, 0.30) } finish { ambient 0.05 diffuse 0.6 specular 0.6 roughness 0.03 reflection 0.1 } }
#declare Copper = texture { pigment { Colour(0.78, 0.45, 0.28) } finish { ambient 0.05 diffuse 0.6 specular 0.5 roughness 0.03 reflection 0.08 } }
#declare Red = texture { Glossy(0.76, 0.10, 0.14) }
#declare Black = texture { Glossy(0.10, 0.10, 0.11) }
#declare Brown = texture { Glossy(0.50, 0.30, 0.13) }
#declare Blue = texture { Glossy(0.12, 0.33, 0.66) }
#declare White = texture { Matt(0.93, 0.93, 0.90) }
#declare Bench = texture { pigment { wood turbulence 0.05 octaves 3 scale <0.35, 0.35, 2> rotate y*88 rotate x*3
  color_map { [0 Colour(0.62, 0.45, 0.28)] [1 Colour(0.45, 0.30, 0.17)] } } finish { ambient 0.06 diffuse 0.7 specular 0.05 } }

#macro Block(A, B, R) // a box with its edges broken
  superellipsoid { <R, R> scale (B - A)/2 translate (A + B)/2 }
#end
#macro Lead(P, R, T) // an insulated lead through points
  sphere_sweep { b_spline dimension_size(P, 1) + 4, P[0], R, P[0], R
    #for (I, 0, dimension_size(P, 1) - 1) P[I], R #end
    P[dimension_size(P, 1) - 1], R, P[dimension_size(P, 1) - 1], R tolerance 0.001 texture { T } }
#end
#macro Screw(At, R) union { cylinder { At, At + y*0.05, R } box { <-R*0.8, 0.045, -R*0.15>, <R*0.8, 0.06, R*0.15> translate At texture { Black } } texture { Metal } } #end
#macro Words(T, Size, At) text { ttf "cyrvetic.ttf" T 0.02, 0 scale <Size, Size, 1> rotate x*90 translate At texture { Matt(0.08, 0.10, 0.14) } } #end

#macro Pack(At)
  union {
    Block(<0, 0, 0>, <2.0, 1.1, 1.15>, 0.08) texture { Matt(0.14, 0.22, 0.42) } translate At }
  object { Block(<0.25, 1.06, 0.2>, <1.3, 1.115, 0.95>, 0.05) texture { White } translate At }
  Words("LiFePO4  8S", 0.17, At + <0.34, 1.125, 0.62>)
  Words("25.6 V  20 Ah", 0.17, At + <0.34, 1.125, 0.36>)
  union { cylinder { <1.72, 1.05, 0.30>, <1.72, 1.2, 0.30>, 0.09 } texture { Brass } translate At }
  union { cylinder { <1.72, 1.05, 0.85>, <1.72, 1.2, 0.85>, 0.09 } texture { Brass } translate At }
#end
#macro Fuse(At)
  union {
    Block(<0, 0, 0>, <0.75, 0.32, 0.3>, 0.12) texture { Glossy(0.12, 0.12, 0.13) } translate At }
  union { box { <0.2, 0.32, 0.07>, <0.55, 0.36, 0.23> } texture { Glossy(0.85, 0.55, 0.10) } translate At }
  union { cylinder { <-0.12, 0.1, 0.15>, <0, 0.1, 0.15>, 0.07 } cylinder { <0.75, 0.1, 0.15>, <0.87, 0.1, 0.15>, 0.07 } texture { Metal } translate At }
#end
#macro BusBar(At, Long, T)
  union { box { <0, 0, 0>, <0.22, 0.1, Long> } #for (I, 0.15, Long - 0.1, 0.32) object { Screw(<0.11, 0.1, I>, 0.07) } #end texture { T } translate At }
  union { box { <0.03, -0.2, 0.05>, <0.19, 0, Long - 0.05> } texture { Matt(0.16, 0.16, 0.17) } translate At }
#end
#macro Isolator(At)
  union { Block(<0, 0, 0>, <0.8, 0.5, 0.8>, 0.1) texture { Glossy(0.90, 0.72, 0.08) } translate At }
  union { cylinder { <0.4, 0.5, 0.4>, <0.4, 0.72, 0.4>, 0.27 } box { <0.33, 0.7, 0.12>, <0.47, 0.9, 0.68> } texture { Glossy(0.75, 0.10, 0.10) } translate At }
#end
#macro Cutout(At)
  union { Block(<0, 0, 0>, <1.0, 0.22, 0.8>, 0.06) texture { Matt(0.11, 0.30, 0.20) } translate At }
  union { Block(<0.32, 0.2, 0.2>, <0.72, 0.42, 0.55>, 0.15) texture { Matt(0.10, 0.10, 0.11) } translate At }
  union { cylinder { <0.83, 0.2, 0.62>, <0.83, 0.4, 0.62>, 0.09 texture { Metal } } translate At }
  union { #for (I, 0, 3) object { Block(<0.06 + 0.24*I, 0.2, 0.02>, <0.26 + 0.24*I, 0.42, 0.17>, 0.1) texture { Glossy(0.16, 0.48, 0.28) } } cylinder { <0.16 + 0.24*I, 0.42, 0.1>, <0.16 + 0.24*I, 0.435, 0.1>, 0.055 texture { Metal } } #end translate At }
  union { sphere { <0.85, 0.26, 0.3>, 0.04 } texture { pigment { Colour(0.3, 0.95, 0.35) } finish { ambient 0.9 } } translate At }
#end
#macro Controller(At)
  union { box { <0, 0, 0>, <1.45, 0.3, 1.1> } #for (I, 0.02, 1.40, 0.125) box { <I, 0.3, 0>, <I + 0.05, 0.72, 1.1> } #end texture { Matt(0.20, 0.21, 0.23) } translate At }
#end

#macro Tray()
  union { // the tray
    box { <-0.15, -0.1, -0.15>, <7.15, 0, 3.55> }
    difference { box { <-0.15, -0.1, -0.15>, <7.15, 0.75, 3.55> } box { <0, 0, 0>, <7, 2, 3.4> } }
    texture { Matt(0.10, 0.27, 0.20) } }
  Pack(<0.2, 0, 1.85>) Pack(<0.2, 0, 0.35>)
  Fuse(<2.65, 0, 2.35>) Fuse(<2.65, 0, 0.95>)
  BusBar(<3.85, 0.25, 1.95>, 1.2, Copper) BusBar(<3.85, 0.25, 0.35>, 1.2, Metal)
  Isolator(<4.45, 0, 2.35>)
  Cutout(<4.35, 0, 1.2>)
  Controller(<5.4, 0, 0.2>)
  BusBar(<5.75, 0.25, 1.95>, 1.1, Copper) BusBar(<6.4, 0.25, 1.95>, 1.1, Metal)
  Lead(array[4] { <1.92, 1.24, 2.15>, <2.2, 1.25, 2.2>, <2.4, 0.5, 2.5>, <2.55, 0.1, 2.5> }, 0.06, Red)
  Lead(array[4] { <1.92, 1.24, 0.65>, <2.2, 1.25, 0.7>, <2.4, 0.5, 1.1>, <2.55, 0.1, 1.1> }, 0.06, Red)
  Lead(array[4] { <1.92, 1.24, 2.70>, <2.5, 1.35, 2.95>, <3.3, 0.7, 1.6>, <3.95, 0.37, 1.2> }, 0.06, Black)
  Lead(array[4] { <1.92, 1.24, 1.20>, <2.5, 1.25, 0.75>, <3.3, 0.6, 0.55>, <3.95, 0.37, 0.5> }, 0.06, Black)
  Lead(array[4] { <3.5, 0.1, 2.5>, <3.65, 0.15, 2.6>, <3.75, 0.4, 2.75>, <3.95, 0.4, 2.75> }, 0.06, Red)
  Lead(array[4] { <3.5, 0.1, 1.1>, <3.65, 0.15, 1.5>, <3.7, 0.4, 2.1>, <3.95, 0.4, 2.15> }, 0.06, Red)
  Lead(array[3] { <4.0, 0.42, 3.0>, <4.3, 0.55, 3.1>, <4.55, 0.3, 2.95> }, 0.06, Red)
  Lead(array[4] { <4.85, 0.3, 2.35>, <4.8, 0.5, 2.15>, <4.55, 0.6, 1.75>, <4.5, 0.42, 1.35> }, 0.06, Red)
  Lead(array[3] { <4.0, 0.42, 0.9>, <4.3, 0.55, 1.0>, <4.75, 0.45, 1.25> }, 0.06, Black)
  Lead(array[4] { <5.0, 0.42, 1.3>, <5.1, 0.6, 1.0>, <5.3, 0.4, 0.9>, <5.45, 0.2, 0.9> }, 0.06, Red)
  Lead(array[4] { <5.22, 0.42, 1.3>, <5.2, 0.6, 0.8>, <5.3, 0.4, 0.5>, <5.45, 0.2, 0.5> }, 0.06, Black)
  Lead(array[3] { <5.7, 0.4, 1.3>, <5.75, 0.6, 1.7>, <5.86, 0.4, 2.1> }, 0.06, Brown)
  Lead(array[3] { <6.4, 0.4, 1.3>, <6.45, 0.6, 1.7>, <6.5, 0.4, 2.1> }, 0.06, Blue)
  Lead(array[3] { <5.86, 0.4, 2.8>, <5.86, 0.7, 3.3>, <5.8, 0.9, 3.9> }, 0.06, Brown)
  Lead(array[3] { <6.5, 0.4, 2.8>, <6.5, 0.7, 3.3>, <6.5, 0.9, 3.9> }, 0.06, Blue)
#end
#macro Workbench(Y) plane { y, Y texture { Bench scale 2 } } #end

#macro Wheel(At, R) union { cylinder { At - z*0.06, At + z*0.06, R } torus { R, 0.03 rotate x*90 translate At + z*0.07 } texture { Matt(0.18, 0.18, 0.19) } } #end
#macro Rails(X0, X1)
  #for (I, X0, X1, 0.55) box { <I, -0.18, -0.95>, <I + 0.25, -0.06, 0.95> texture { Matt(0.36, 0.27, 0.19) } } #end
  union { box { <X0, -0.06, -0.64>, <X1, 0.08, -0.56> } box { <X0, -0.06, 0.56>, <X1, 0.08, 0.64> } texture { Metal } }
  box { <X0, -0.5, -1.25>, <X1, -0.13, 1.25> texture { pigment { granite scale 0.3 color_map { [0 Colour(0.38, 0.36, 0.33)] [1 Colour(0.62, 0.60, 0.56)] } } normal { bumps 0.9 scale 0.07 } } }
#end
#macro Bush(At, S, Seed)
  #local D = seed(Seed);
  #for (I, 1, 26) sphere { At + S*<rand(D) - 0.5, rand(D)*0.7, rand(D) - 0.5>, S*(0.12 + 0.16*rand(D)) texture { pigment { bozo scale 0.12 color_map { [0 Colour(0.16, 0.30, 0.12)] [1 Colour(0.33, 0.47, 0.20)] } } normal { bumps 1.2 scale 0.06 } } } #end
#end
#macro Garden()
  plane { y, -0.3 texture { pigment { bozo scale 0.5 turbulence 0.6 color_map { [0 Colour(0.28, 0.42, 0.16)] [1 Colour(0.42, 0.52, 0.22)] } } normal { bumps 1.0 scale 0.05 } } }
  sky_sphere { pigment { gradient y color_map { [0 Colour(0.86, 0.89, 0.90)] [0.6 Colour(0.55, 0.68, 0.82)] } } }
  #for (I, -12, 14, 1.3) Bush(<I, -0.3, 7 + 0.7*sin(I*2)>, 2.6, 100 + I*7) #end
#end
#macro Shunter()
  union {
    object { Block(<-1.9, 0.42, -0.75>, <1.9, 0.62, 0.75>, 0.05) texture { Matt(0.15, 0.15, 0.16) } }
    object { Block(<-1.85, 0.6, -0.55>, <0.7, 1.45, 0.55>, 0.06) texture { Glossy(0.10, 0.34, 0.24) } }
    object { Block(<0.6, 0.6, -0.7>, <1.75, 2.1, 0.7>, 0.05) texture { Glossy(0.10, 0.34, 0.24) } }
    object { Block(<0.5, 2.08, -0.8>, <1.85, 2.2, 0.8>, 0.1) texture { Matt(0.30, 0.30, 0.31) } }
    box { <0.75, 1.45, -0.72>, <1.55, 1.95, 0.72> texture { Glossy(0.62, 0.74, 0.80) } }
    box { <-1.8, 1.02, -0.565>, <0.55, 1.08, 0.565> texture { Matt(0.90, 0.80, 0.45) } }
    #for (I, -1.6, 0.1, 0.28) box { <I, 0.75, -0.565>, <I + 0.14, 0.95, 0.565> texture { Matt(0.08, 0.10, 0.09) } } #end
    box { <-2.0, 0.4, -0.8>, <-1.88, 0.8, 0.8> texture { Glossy(0.72, 0.12, 0.10) } } box { <1.88, 0.4, -0.8>, <2.0, 0.8, 0.8> texture { Glossy(0.72, 0.12, 0.10) } }
    cylinder { <-2.2, 0.6, -0.5>, <-2, 0.6, -0.5>, 0.12 texture { Metal } } cylinder { <-2.2, 0.6, 0.5>, <-2, 0.6, 0.5>, 0.12 texture { Metal } }
    cylinder { <-1.9, 1.2, 0>, <-1.82, 1.2, 0>, 0.14 texture { pigment { Colour(1, 0.95, 0.75) } finish { ambient 0.8 } } }
    Wheel(<-1.15, 0.42, -0.62>, 0.36) Wheel(<1.1, 0.42, -0.62>, 0.36) Wheel(<-1.15, 0.42, 0.62>, 0.36) Wheel(<1.1, 0.42, 0.62>, 0.36)
  }
#end
#macro Wagon(X)
  union {
    object { Block(<-1.6, 0.5, -0.7>, <1.6, 0.66, 0.7>, 0.06) texture { Matt(0.45, 0.31, 0.19) } }
    object { Block(<-1.45, 0.66, -0.28>, <1.45, 1.02, 0.28>, 0.1) texture { Matt(0.52, 0.16, 0.14) } }
    Wheel(<-1.0, 0.34, -0.62>, 0.27) Wheel(<1.0, 0.34, -0.62>, 0.27) Wheel(<-1.0, 0.34, 0.62>, 0.27) Wheel(<1.0, 0.34, 0.62>, 0.27)
    cylinder { <-1.9, 0.55, 0>, <-1.6, 0.55, 0>, 0.05 texture { Metal } }
    translate x*X }
#end
#macro Tyre(At, R) union { torus { R - 0.1, 0.1 rotate x*90 texture { Matt(0.13, 0.13, 0.13) } } cylinder { -z*0.07, z*0.07, R - 0.14 texture { Metal } } cylinder { -z*0.12, z*0.12, R*0.4 texture { Matt(0.2, 0.2, 0.21) } } translate At } #end
#macro Barrow() // two driven wheels at the back, a castor at the front, a deck at knee height, a handle with a lever
  union {
    object { Block(<-1.7, 0.98, -0.75>, <1.5, 1.1, 0.75>, 0.05) texture { Matt(0.24, 0.36, 0.30) } }
    difference { object { Block(<-1.7, 1.05, -0.75>, <1.5, 1.6, 0.75>, 0.05) } box { <-1.62, 1.1, -0.67>, <1.42, 2, 0.67> } texture { Matt(0.24, 0.36, 0.30) } }
    object { Block(<-1.6, 1.1, -0.65>, <1.4, 1.66, 0.65>, 0.35) texture { pigment { granite scale 0.4 color_map { [0 Colour(0.22, 0.15, 0.10)] [1 Colour(0.38, 0.28, 0.19)] } } normal { bumps 1.5 scale 0.08 } } }
    union { cylinder { <-1.6, 0.95, -0.5>, <1.4, 0.95, -0.5>, 0.05 } cylinder { <-1.6, 0.95, 0.5>, <1.4, 0.95, 0.5>, 0.05 } cylinder { <0.95, 0.45, -0.9>, <0.95, 0.45, 0.9>, 0.06 } cylinder { <0.95, 0.45, -0.5>, <0.95, 0.95, -0.5>, 0.06 } cylinder { <0.95, 0.45, 0.5>, <0.95, 0.95, 0.5>, 0.06 }
      cylinder { <-1.3, 0.2, 0>, <-1.15, 0.95, 0>, 0.06 } cylinder { <-1.7, 1.0, 0>, <-2.35, 2.05, 0>, 0.055 } cylinder { <-2.35, 2.05, -0.4>, <-2.35, 2.05, 0.4>, 0.05 } texture { Metal } }
    union { cylinder { <-2.35, 2.05, -0.42>, <-2.35, 2.05, -0.16>, 0.08 } cylinder { <-2.35, 2.05, 0.16>, <-2.35, 2.05, 0.42>, 0.08 } texture { Black } }
    cylinder { <-2.35, 2.06, -0.12>, <-2.22, 2.2, -0.12>, 0.035 texture { Red } }
    Tyre(<0.95, 0.45, -0.9>, 0.47) Tyre(<0.95, 0.45, 0.9>, 0.47) Tyre(<-1.3, 0.2, 0>, 0.22)
    object { Block(<-0.55, 0.5, -0.36>, <0.45, 0.93, 0.36>, 0.08) texture { Matt(0.16, 0.17, 0.19) } }
    object { Block(<-0.4, 0.58, -0.375>, <0.1, 0.82, -0.35>, 0.1) texture { White } }
    translate y*-0.28 }
#end

#macro Lug(At)
  union {
    difference { union { cylinder { <0, 0.02, 0>, <0, 0.09, 0>, 0.3 } box { <0, 0.02, -0.17>, <0.55, 0.09, 0.17> } } cylinder { <0, 0, 0>, <0, 0.2, 0>, 0.14 } }
    difference { cylinder { <0.4, 0.2, 0>, <1.15, 0.2, 0>, 0.2 } box { <0.62, 0.355, -0.2>, <0.80, 0.5, 0.2> } box { <0.88, 0.355, -0.2>, <1.06, 0.5, 0.2> } }
    texture { Metal } translate At }
#end
#macro Ferrule(At, T)
  union { cylinder { <0, 0.09, 0>, <0.62, 0.09, 0>, 0.085 texture { Metal } } #for (I, 0.06, 0.55, 0.09) box { <I, 0.145, -0.06>, <I + 0.045, 0.2, 0.06> texture { Metal } } #end cone { <0.6, 0.09, 0>, 0.1, <0.78, 0.09, 0>, 0.145 texture { T } } cylinder { <0.78, 0.09, 0>, <0.98, 0.09, 0>, 0.145 texture { T } } translate At + y*0.05 }
#end

#switch (View)
#case (1) // the tray, open
  camera { location <3.5, 8.6, -5.2> look_at <3.5, 0.3, 1.62> angle 40 right x*image_width/image_height }
  Tray() Workbench(-0.1)
#break
#case (2) // the train in the garden
  camera { location <-7.5, 3.1, -8.2> look_at <0.6, 0.75, 0> angle 42 right x*image_width/image_height }
  Garden() Rails(-14, 22) Shunter() Wagon(4.0) Wagon(7.6) Wagon(11.2)
#break
#case (3) // the cutout, near
  camera { location <4.55, 3.3, -1.1> look_at <4.7, 0.2, 1.66> angle 33 right x*image_width/image_height }
  Tray() Workbench(-0.1)
#break
#case (4) // ends on the bench
  camera { location <1.2, 3.0, -2.3> look_at <1.25, 0, 0.72> angle 46 right x*image_width/image_height }
  Workbench(0)
  Lug(<0, 0, 0>) Lead(array[4] { <1.0, 0.19, 0>, <1.5, 0.19, 0>, <2.6, 0.17, 0.15>, <4.5, 0.17, 0.1> }, 0.16, Red)
  cylinder { <1.12, 0.19, 0>, <1.55, 0.19, 0>, 0.175 texture { Matt(0.12, 0.12, 0.13) } }
  Lug(<0.1, 0, 0.85>) Lead(array[4] { <1.1, 0.19, 0.85>, <1.6, 0.19, 0.85>, <2.6, 0.17, 0.7>, <4.5, 0.17, 0.8> }, 0.16, Black)
  cylinder { <1.22, 0.19, 0.85>, <1.65, 0.19, 0.85>, 0.175 texture { Matt(0.70, 0.12, 0.12) } }
  Ferrule(<0, 0, 1.55>, Brown) Lead(array[3] { <0.95, 0.14, 1.55>, <2.0, 0.12, 1.6>, <4.5, 0.12, 1.5> }, 0.11, Brown)
  Ferrule(<0.15, 0, 2.05>, Blue) Lead(array[3] { <1.1, 0.14, 2.05>, <2.0, 0.12, 2.1>, <4.5, 0.12, 2.05> }, 0.11, Blue)
#break
#case (5) // the barrow on the allotment
  camera { location <-3.2, 2.6, -6.0> look_at <-0.25, 0.7, 0> angle 40 right x*image_width/image_height }
  Garden() Barrow()
#break
#end
light_source { <-14, 22, -12> Colour(1.0, 0.98, 0.94)*1.5 area_light x*3, z*3, 4, 4 adaptive 1 jitter }
light_source { <12, 14, -10> Colour(0.62, 0.66, 0.74) shadowless }
#if (View = 1 | View = 3 | View = 4) background { Colour(0.7, 0.7, 0.7) } #end
