"""Every default size of a mould kit, once, with where it comes from. Millimetres and degrees.

Marks: (common practice) and (judgement) say how sure a figure is; (calculated) follows from the figure beside it.
"""

from __future__ import annotations

# ---- silicone round the parts
SIDE_MM = 10.0  # cavity to wall; 10-15 for pressure work in 20-30A (common practice)
BETWEEN_MM = 8.0  # cavity to cavity (judgement)
FLOOR_MM = 8.0  # under the deepest point (judgement)
ROD_FLOOR_MM = 11.0  # floor under a metal bore rod: its seat and 5 mm below it (judgement)
LID_OVER_PART_MM = 8.0  # lid above the highest point of the part (judgement)
LID_UNDER_WELL_MM = 4.0  # lid left between a well and the part (judgement)

# ---- walls
FREEBOARD_MM = 6.0  # wall above a fill line: nothing is poured flush with a rim (judgement)
FILL_STEP_MM = 0.5  # the step that marks a fill line (judgement)
WALL_THICKNESSES_MM = (4.0, 5.0, 6.0, 8.0, 10.0)  # the thinnest that bulges little enough is taken
LARGEST_BULGE_MM = 0.2  # (judgement)
PLASTIC_STIFFNESS_MPA = 2500.0  # printed plastic, bending (from memory)
RESIN_KG_M3 = 1080.0  # for the bend of a bore core only; the pours take the sheet's value
SILICONE_KG_M3 = 1100.0  # for bulge only; the pours take the sheet's value
RIBBED_WALLS_MM = (6.0, 8.0, 10.0)  # thicknesses that ribs are tried on, where no plain wall will do
RIB_DEPTHS_MM = (8.0, 12.0, 16.0, 20.0)  # how far ribs stand out of a wall (judgement)
RIB_HIGH_MM = 4.0  # of a wall's rib, without the slope under it (judgement)
RIB_EVERY_MM = 24.0  # from one rib of a wall to the next, at the least (judgement)
LAP_MM = 6.0  # how far two half shells lie over each other (judgement)
STRAP_MM = 8.0  # width of a band groove (judgement)
STRAP_DEPTH_MM = 1.0
JOINT_DEEP_MM = 13.0  # wall and post at a joint in a long wall: room for a dovetail (judgement)
POST_LEAST_MM = 4.0
ROUND_TAIL_MM = 2.0  # plastic round a dovetail (judgement)
SEAL_RADIUS_MM = 1.0  # hole along a wall's joint, filled with silicone from a syringe (judgement)
SEAL_IN_MM = 2.5  # from the wall's inner face to the middle of that hole
JOINT_BAR_MM = 14.0  # half the solid bar under a base where it is joined (judgement)
SEAM_MM = 1.0  # bead along the walls at the parting, so deep and twice as high: the silicone's groove for a cord
TICK_DEEP_MM, TICK_HALF_MM = 0.6, 0.8  # witness ticks, depth and half width: blunter than 90 degrees (judgement)
TICK_BELOW_MM, TICK_ABOVE_MM = 3.0, 7.0  # under and over the parting
TICK_APART_MM = 4.0  # two beside each other

# ---- base and boards
PLATE_MM = 5.0  # base plate over its ribs (judgement)
RIB_MM = 3.0
BOSS_MM = 2.0  # plastic round the hole for a driver, where it leaves a rib (judgement)
LONGEST_BRIDGE_MM = 25.0  # widest pocket that prints without support (common practice)
FLANGE_MM = 4.0  # thickness of the base's flange, and how far it stands out beyond the walls
EDGE_GAP_MM = 0.1  # base or cover to wall next to silicone
BODY_GAP_MM = 0.3  # base, cover or boss to wall elsewhere
EDGE_LAND_MM = 5.0  # how deep that narrow gap is: at 1.5 mm it alone would pass 2 mL an hour (calculated)
BOARD_MM = 6.0  # press board and levelling board
LEVEL_SCREW_MM = 12.0  # how far the levelling screws stand out when screwed in (judgement)
M4_THREAD_RADIUS_MM = 1.65  # core hole of an M4 thread (common practice)

# ---- patterns
RIM_HEIGHT_MM = 0.4  # sealing rim: 0.3-0.5 high, about 1 wide (judgement)
RIM_WIDTH_MM = 1.0
FAR_MM = 2000.0  # beyond everything, for cutting tools
COVER_MM = 1.0  # part material left round a screw or rod (judgement)
BREATHER_RADIUS_MM = 1.0  # a hole of at least 2 mm into the infill

# ---- vents, wells, keys
OPEN_VENT_RADIUS_MM = 0.75  # vents of 1-2 mm pass air and hold the resin for a while (from memory)
NARROW_VENT_RADIUS_MM = 0.5  # where the wider one has no room
NARROW_VENT_MARGIN_MM = 0.3  # of face left beside such a vent on a narrow rim: its stub is cut off flush (judgement)
VENT_EVERY_MM = 25.0  # along a top edge (common practice)
OPEN_FLOOR_MM = 2.5  # cover plate under a well: short vents, little drag (judgement)
COVER_LEAST_MM = 5.0  # cover plate (judgement)
TRAPPED_SHARE = 1e-3  # of the part, air that may stay at any small tilt (judgement)
VENT_GAIN = 0.05  # of the air over that, which one more vent must at least save (judgement)
MOST_VENTS = 12  # in one cell (judgement)
LEAN_DEG = 5.0  # of a mould that is leaned on purpose: its channels still hold what rises (judgement)
LEAN_TOWARDS_DEG = 90.0  # the side raised when none is named: +y, clear of the screws on the x axis
LEAN_OFF_SHARE = 0.3  # of the lean by which a block under one edge may miss it (judgement)
LEAN_ASIDE_DEG = 10.0  # and how far beside the direction (judgement)
ROD_RADII_MM = (1.5, 1.0, 0.75)  # stock of 3, 2 and 1.5 mm
ROD_SEAT_MM = 5.0
WELL_BESIDE_ROD_MM = 1.5
WELL_LEAST_DEPTH_MM = 2.0
WELL_DRAFT_DEG = 5.0
CHANNEL_WIDTH_MM = 3.0
CHANNEL_DEPTH_MM = 1.5
WELL_RESERVE = 1.02  # wells are made a little larger than needed, so that rounding never fails them
KEY_RADII_MM = (4.0, 3.5, 3.0)  # frustum keys, tip 0.6 of the root (common practice)
KEY_TIP = 0.6
KEY_TO_CAVITY_MM = 5.0
KEY_TO_WALL_MM = 1.5
TIP_CONE_MM = 2.0  # height of the cone that holds a slender core's tip

# ---- bridge bar
BAR_MM = (10.0, 8.0)  # width, height
NOTCH_MM = 4.0  # depth of the bar's notch in the wall's rim
ROD_CAP_MM = 2.0  # bar left over a rod's end, so that the bar holds the rod down

# ---- bore
SOFT_CORE_RATIO = 3.0  # longest soft core, length over diameter
CONE_CORE_RATIO = 5.0  # longest soft core whose tip a cone holds
ROD_SEAT_IN_FLOOR_MM = 5.0
CLOSING_SQUEEZE_MM = 0.1  # by which the closing piece may press a soft core's tip; boards set 0-0.2 (judgement)
STOCK_STEP_MM = 0.5  # round metal comes in such steps of its diameter (common practice)

# ---- hard cores
LAND_SQUEEZE_MM = 0.15  # how far a silicone land stands into the core's room; 0.1-0.2 (judgement)
LAND_LEAST_MM = 2.0  # width of a land on a core's end; resin creeps under less (judgement)
CUP_GRIP_MM = 2.0  # least length of a core's end that a printed cup or recess grips (judgement)
CUP_WALL_MM = 2.0  # printed wall round it
ROD_STOCK_MM = (1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 22.0, 25.0,
                30.0, 35.0, 40.0)  # metal rod in diameters that are sold (common practice)  # fmt: skip
MOST_PLAY_MM = 0.3  # bore over rod, in diameter; more is printed instead (judgement)
ROD_GRIP_MM = 4.0  # core rod or spindle standing out of a cover, to draw it by (judgement)
SOCKET_MM = 10.0  # depth of the spindle's socket in the levelling board
SOCKET_FLOOR_MM = 2.0  # board left under it
COLUMN_WALL_MM = 2.5  # printed wall round an upper socket
COLUMN_GAP_MM = 0.5  # between that column and the lid's top

# ---- judging
FLAT_SHARE = 0.98  # a full-width face covers this share of the shadow (judgement)
LIP_AT_MM = 1.0  # where the lip is judged
LIP_LEAST_MM = 0.98  # 1 mm less 0.02 (judgement)
BETWEEN_MOULDS_MM = 5.0  # between two closed moulds in the pot (judgement)
FINGER_ROOM_MM = 10.0  # between box and pot wall (judgement)
