//go:build arm64 && !noasm

#include "textflag.h"

// Years of events for the 16 lanes of a group, 4 to a register. The layouts
// are those of group, event and span. Registers:
//
//	R0 group, R1 event, R2 its inflow, R3 span of the year, R4 years left, R5
//	events of the year left, R6 address, R7 bytes from per to the next event
//	V0–V3 storage, V4–V7 size, V8–V11 the year's volume, V12–V15 its days
//	with a demand less the full ones; V16 all, V17 part, V18 q, V19 per;
//	V20–V27 scratch; V28 a half's bits, V29 the allowance, V30 zero
#define SIZE 0
#define HELD 64
#define LOW 128
#define HIGH 192
#define SHORT 256
#define BAD 320

// What the assembler has no names for:
#define SCVTF(n) WORD $(0x4e21d800 | n<<5 | n)          // SCVTF Vn.4S, Vn.4S
#define FMUL(n) WORD $(0x6e20dc00 | 19<<16 | n<<5 | n)  // FMUL Vn.4S, Vn.4S, V19.4S
#define FCVTZS(n) WORD $(0x4ea1b800 | n<<5 | n)         // FCVTZS Vn.4S, Vn.4S
#define CMGT(n) WORD $(0x4ea03400 | 29<<16 | n<<5 | n)  // CMGT Vn.4S, Vn.4S, V29.4S

#define YAS(V, S, Y, F, U, W, u) \
	VUMIN V17.S4, V.S4, W.S4; \
	VUMIN V16.S4, V.S4, U.S4; \
	VADD V18.S4, V.S4, V.S4;  \
	VADD S.S4, W.S4, W.S4;    \
	VUMIN W.S4, V.S4, V.S4;   \
	GIVE(V, Y, F, U, u)

#define YBS(V, S, Y, F, U, W, u) \
	VADD V18.S4, V.S4, V.S4;  \
	VADD S.S4, V17.S4, W.S4;  \
	VUMIN W.S4, V.S4, V.S4;   \
	VUMIN V16.S4, V.S4, U.S4; \
	GIVE(V, Y, F, U, u)

// The number of U is passed as u.
#define GIVE(V, Y, F, U, u) \
	VSUB U.S4, V.S4, V.S4; \
	VADD U.S4, Y.S4, Y.S4; \
	SCVTF(u);              \
	FMUL(u);               \
	FCVTZS(u);             \
	VSUB U.S4, F.S4, F.S4

#define LOAD(AT) \
	ADD $AT, R0, R6; \
	VLD1 (R6), [V24.S4, V25.S4, V26.S4, V27.S4]

#define SAVE VST1 [V24.S4, V25.S4, V26.S4, V27.S4], (R6)

#define TALLY(AT, A, B, C, D) \
	LOAD(AT);                 \
	VADD A.S4, V24.S4, V24.S4; \
	VADD B.S4, V25.S4, V25.S4; \
	VADD C.S4, V26.S4, V26.S4; \
	VADD D.S4, V27.S4, V27.S4; \
	SAVE

#define ZERO(V) VEOR V.B16, V.B16, V.B16

#define RUN(EVENT) \
	MOVD groups+0(FP), R0;  \
	MOVD list+8(FP), R1;    \
	MOVD q+16(FP), R2;      \
	MOVD years+24(FP), R3;  \
	MOVD n+32(FP), R4;      \
	MOVW allow+40(FP), R5;  \
	VDUP R5, V29.S4;        \
	MOVD $0xffff, R5;       \
	VDUP R5, V28.S4;        \
	ZERO(V30);              \
	MOVD $8, R7;            \
	VLD1 (R0), [V4.S4, V5.S4, V6.S4, V7.S4]; \
	LOAD(HELD);             \
	VMOV V24.B16, V0.B16;   \
	VMOV V25.B16, V1.B16;   \
	VMOV V26.B16, V2.B16;   \
	VMOV V27.B16, V3.B16;   \
	ZERO(V24);              \
	ZERO(V25);              \
	ZERO(V26);              \
	ZERO(V27);              \
	ADD $LOW, R0, R6;       \
	SAVE;                   \
	ADD $HIGH, R0, R6;      \
	SAVE;                   \
	ADD $SHORT, R0, R6;     \
	SAVE;                   \
	ADD $BAD, R0, R6;       \
	SAVE;                   \
year:                       \
	MOVWU.P 4(R3), R5;      \
	VLD1R (R3), [V12.S4];   \
	ADD $8, R3;             \
	VMOV V12.B16, V13.B16;  \
	VMOV V12.B16, V14.B16;  \
	VMOV V12.B16, V15.B16;  \
	ZERO(V8);               \
	ZERO(V9);               \
	ZERO(V10);              \
	ZERO(V11);              \
event:                      \
	VLD1R.P 4(R1), [V16.S4]; \
	VLD1R.P 4(R1), [V17.S4]; \
	VLD1R.P (R1)(R7), [V19.S4]; \
	VLD1R.P 4(R2), [V18.S4]; \
	EVENT(V0, V4, V8, V12, V20, V24, 20);  \
	EVENT(V1, V5, V9, V13, V21, V25, 21);  \
	EVENT(V2, V6, V10, V14, V22, V26, 22); \
	EVENT(V3, V7, V11, V15, V23, V27, 23); \
	SUBS $1, R5, R5;        \
	BNE event;              \
	VAND V28.B16, V8.B16, V20.B16;  \
	VAND V28.B16, V9.B16, V21.B16;  \
	VAND V28.B16, V10.B16, V22.B16; \
	VAND V28.B16, V11.B16, V23.B16; \
	TALLY(LOW, V20, V21, V22, V23); \
	VUSHR $16, V8.S4, V8.S4;        \
	VUSHR $16, V9.S4, V9.S4;        \
	VUSHR $16, V10.S4, V10.S4;      \
	VUSHR $16, V11.S4, V11.S4;      \
	TALLY(HIGH, V8, V9, V10, V11);  \
	TALLY(SHORT, V12, V13, V14, V15); \
	CMGT(12);                       \
	CMGT(13);                       \
	CMGT(14);                       \
	CMGT(15);                       \
	VSUB V12.S4, V30.S4, V12.S4;    \
	VSUB V13.S4, V30.S4, V13.S4;    \
	VSUB V14.S4, V30.S4, V14.S4;    \
	VSUB V15.S4, V30.S4, V15.S4;    \
	TALLY(BAD, V12, V13, V14, V15); \
	SUBS $1, R4, R4;                \
	BNE year;                       \
	ADD $HELD, R0, R6;              \
	VST1 [V0.S4, V1.S4, V2.S4, V3.S4], (R6); \
	RET

// func yasNEON(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·yasNEON(SB), NOSPLIT, $0-44
	RUN(YAS)

// func ybsNEON(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·ybsNEON(SB), NOSPLIT, $0-44
	RUN(YBS)
