"""The magnetic field in the cross-section of a design: what the finished motor will do.

`cross_section` draws a tooth pitch and a pole pitch, `materials` says what they are made of, `turns`
where the coils lie, `figures` solves the field and reads speed constant, torque and flux densities
from it, `page` prints them.

Conventions, once for all: the field is plane, per metre of the shorter of stack and magnets; ends are
not counted. Rotor and tooth angles run counter-clockwise; tooth index 0 lies on the x axis, and pole 0
on it at angle 0, magnetised outwards: it shows the stator a south pole. Signs of coils, flux and
voltage: `recipes.winding.sense`. Phase current is r.m.s., of a sine in step with the phase's voltage.
Voltage is that without current, r.m.s. between two leads times the square root of 2.
"""
