//go:build amd64 && !noasm

#include "textflag.h"

// Years of events for several lanes to a register. Registers throughout:
//
//	DI group, SI event, DX its inflow, BX span of the year, CX years left,
//	R8 events of the year left, R9 allowance
//
// The layouts are those of group, event and span.
#define SIZE 0
#define HELD 64
#define LOW 128
#define HIGH 192
#define SHORT 256
#define BAD 320
#define GROUP 384
#define ALL 0
#define PART 4
#define PER 8
#define EVENT 16
#define DAYS 4
#define SPAN 12

DATA half<>+0(SB)/4, $0xffff
GLOBL half<>(SB), RODATA|NOPTR, $4
DATA one<>+0(SB)/4, $1
GLOBL one<>(SB), RODATA|NOPTR, $4
DATA two23<>+0(SB)/4, $8388608.0
GLOBL two23<>(SB), RODATA|NOPTR, $4

#define ARGS \
	MOVQ groups+0(FP), DI;      \
	MOVQ list+8(FP), SI;   \
	MOVQ q+16(FP), DX;     \
	MOVQ years+24(FP), BX; \
	MOVQ n+32(FP), CX;     \
	MOVL allow+40(FP), R9

#define STEP \
	ADDQ $EVENT, SI; \
	ADDQ $4, DX;     \
	DECQ R8

// An event of YAS for 8 lanes whose part of the group is AT bytes on: V
// storage, Y the year's volume, F its days with a demand less the full ones;
// Y12 all; Y13 u, Y14 and Y15 scratch.
#define YAS256(AT, V, Y, F) \
	VPBROADCASTD PART(SI), Y14;      \
	VPBROADCASTD (DX), Y15;          \
	VPMINUD V, Y12, Y13;             \
	VPMINUD V, Y14, Y14;             \
	VPADDD V, Y15, V;                \
	VPADDD AT+SIZE(DI), Y14, Y14;  \
	VPMINUD V, Y14, V;               \
	GIVE256(V, Y, F)

#define YBS256(AT, V, Y, F) \
	VPBROADCASTD (DX), Y15;          \
	VPBROADCASTD PART(SI), Y14;      \
	VPADDD V, Y15, V;                \
	VPADDD AT+SIZE(DI), Y14, Y14;  \
	VPMINUD V, Y14, V;               \
	VPMINUD V, Y12, Y13;             \
	GIVE256(V, Y, F)

#define GIVE256(V, Y, F) \
	VBROADCASTSS PER(SI), Y15; \
	VPSUBD Y13, V, V;        \
	VPADDD Y13, Y, Y;        \
	VCVTDQ2PS Y13, Y13;      \
	VMULPS Y15, Y13, Y13;    \
	VCVTTPS2DQ Y13, Y13;     \
	VPSUBD Y13, F, F

// The end of a year: Y13 a half's bits, Y14 the allowance.
#define TALLY256(AT, Y, F) \
	VPAND Y13, Y, Y12;                \
	VPADDD AT+LOW(DI), Y12, Y12;    \
	VMOVDQU Y12, AT+LOW(DI);        \
	VPSRLD $16, Y, Y;                 \
	VPADDD AT+HIGH(DI), Y, Y;       \
	VMOVDQU Y, AT+HIGH(DI);         \
	VPADDD AT+SHORT(DI), F, Y12;    \
	VMOVDQU Y12, AT+SHORT(DI);      \
	VPCMPGTD Y14, F, F;               \
	VMOVDQU AT+BAD(DI), Y12;        \
	VPSUBD F, Y12, Y12;               \
	VMOVDQU Y12, AT+BAD(DI)

#define LOAD256(AT, V) \
	VMOVDQU AT+HELD(DI), V;     \
	VPXOR Y12, Y12, Y12;          \
	VMOVDQU Y12, AT+LOW(DI);    \
	VMOVDQU Y12, AT+HIGH(DI);   \
	VMOVDQU Y12, AT+SHORT(DI);  \
	VMOVDQU Y12, AT+BAD(DI)

#define YEAR256(Y, F) \
	VPXOR Y, Y, Y; \
	VPBROADCASTD DAYS(BX), F

#define RUN256X2(EVENT256) \
	ARGS;                              \
	LOAD256(0, Y0);                    \
	LOAD256(32, Y1);                   \
	LOAD256(GROUP, Y2);                \
	LOAD256(GROUP+32, Y3);             \
year:                                  \
	MOVL 0(BX), R8;                    \
	YEAR256(Y4, Y8);                   \
	YEAR256(Y5, Y9);                   \
	YEAR256(Y6, Y10);                  \
	YEAR256(Y7, Y11);                  \
event:                                 \
	VPBROADCASTD ALL(SI), Y12;         \
	EVENT256(0, Y0, Y4, Y8);           \
	EVENT256(32, Y1, Y5, Y9);          \
	EVENT256(GROUP, Y2, Y6, Y10);      \
	EVENT256(GROUP+32, Y3, Y7, Y11);   \
	STEP;                              \
	JNZ event;                         \
	VPBROADCASTD half<>(SB), Y13;      \
	VMOVD R9, X14;                     \
	VPBROADCASTD X14, Y14;             \
	TALLY256(0, Y4, Y8);               \
	TALLY256(32, Y5, Y9);              \
	TALLY256(GROUP, Y6, Y10);          \
	TALLY256(GROUP+32, Y7, Y11);       \
	ADDQ $SPAN, BX;                       \
	DECQ CX;                           \
	JNZ year;                          \
	VMOVDQU Y0, HELD(DI);            \
	VMOVDQU Y1, HELD+32(DI);         \
	VMOVDQU Y2, HELD+GROUP(DI);      \
	VMOVDQU Y3, HELD+GROUP+32(DI);   \
	VZEROUPPER;                        \
	RET

#define RUN256X1(EVENT256) \
	ARGS;                              \
	LOAD256(0, Y0);                    \
	LOAD256(32, Y1);                   \
year:                                  \
	MOVL 0(BX), R8;                    \
	YEAR256(Y4, Y8);                   \
	YEAR256(Y5, Y9);                   \
event:                                 \
	VPBROADCASTD ALL(SI), Y12;         \
	EVENT256(0, Y0, Y4, Y8);           \
	EVENT256(32, Y1, Y5, Y9);          \
	STEP;                              \
	JNZ event;                         \
	VPBROADCASTD half<>(SB), Y13;      \
	VMOVD R9, X14;                     \
	VPBROADCASTD X14, Y14;             \
	TALLY256(0, Y4, Y8);               \
	TALLY256(32, Y5, Y9);              \
	ADDQ $SPAN, BX;                       \
	DECQ CX;                           \
	JNZ year;                          \
	VMOVDQU Y0, HELD(DI);            \
	VMOVDQU Y1, HELD+32(DI);         \
	VZEROUPPER;                        \
	RET

// func yas256x2(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·yas256x2(SB), NOSPLIT, $0-44
	RUN256X2(YAS256)

// func ybs256x2(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·ybs256x2(SB), NOSPLIT, $0-44
	RUN256X2(YBS256)

// func yas256x1(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·yas256x1(SB), NOSPLIT, $0-44
	RUN256X1(YAS256)

// func ybs256x1(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·ybs256x1(SB), NOSPLIT, $0-44
	RUN256X1(YBS256)

// An event for the 16 lanes of the group AT bytes on: V storage, S size, Y the
// year's volume; F begins as the year's days with a demand and 2²³ as the bits
// of a float32 for every event, and loses 2²³ + u/d, rounded down, at each: the
// number of full days is the lowest bits of that. Z16 all, Z17 part, Z18 q,
// Z19 per, Z20 2²³; U, W scratch.
#define YAS512(V, S, Y, F, U, W) \
	VPMINUD V, Z17, W;  \
	VPMINUD V, Z16, U;  \
	VPADDD V, Z18, V;   \
	VPADDD S, W, W;     \
	VPMINUD V, W, V;    \
	GIVE512(V, Y, F, U)

#define YBS512(V, S, Y, F, U, W) \
	VPADDD V, Z18, V;   \
	VPADDD S, Z17, W;   \
	VPMINUD V, W, V;    \
	VPMINUD V, Z16, U;  \
	GIVE512(V, Y, F, U)

#define GIVE512(V, Y, F, U) \
	VPSUBD U, V, V;                     \
	VPADDD U, Y, Y;                     \
	VCVTDQ2PS U, U;                     \
	VFMADD213PS.RD_SAE Z20, Z19, U;     \
	VPSUBD U, F, F

// The end of a year: Z21 a half's bits, Z22 the allowance, Z23 ones.
#define TALLY512(AT, Y, F) \
	VPANDD Z21, Y, Z24;              \
	VPADDD AT+LOW(DI), Z24, Z24;   \
	VMOVDQU32 Z24, AT+LOW(DI);     \
	VPSRLD $16, Y, Y;                \
	VPADDD AT+HIGH(DI), Y, Y;      \
	VMOVDQU32 Y, AT+HIGH(DI);      \
	VPADDD AT+SHORT(DI), F, Z24;   \
	VMOVDQU32 Z24, AT+SHORT(DI);   \
	VPCMPGTD Z22, F, K1;             \
	VMOVDQU32 AT+BAD(DI), Z24;     \
	VPADDD Z23, Z24, K1, Z24;        \
	VMOVDQU32 Z24, AT+BAD(DI)

#define LOAD512(AT, V, S) \
	VMOVDQU32 AT+SIZE(DI), S;      \
	VMOVDQU32 AT+HELD(DI), V;      \
	VPXORD Z24, Z24, Z24;            \
	VMOVDQU32 Z24, AT+LOW(DI);     \
	VMOVDQU32 Z24, AT+HIGH(DI);    \
	VMOVDQU32 Z24, AT+SHORT(DI);   \
	VMOVDQU32 Z24, AT+BAD(DI)

#define CONSTANTS512 \
	VPBROADCASTD two23<>(SB), Z20;    \
	VPBROADCASTD half<>(SB), Z21;     \
	VPBROADCASTD R9, Z22;             \
	VPBROADCASTD one<>(SB), Z23

#define YEAR512 \
	MOVL 0(BX), R8;         \
	IMUL3L $0x4b000000, R8, AX; \
	ADDL DAYS(BX), AX

#define NEXT512 \
	VPBROADCASTD ALL(SI), Z16;  \
	VPBROADCASTD PART(SI), Z17; \
	VPBROADCASTD (DX), Z18;     \
	VPBROADCASTD PER(SI), Z19

#define RUN512X4(EVENT512) \
	ARGS;                                \
	CONSTANTS512;                        \
	LOAD512(0, Z0, Z1);                  \
	LOAD512(GROUP, Z2, Z3);              \
	LOAD512(2*GROUP, Z4, Z5);            \
	LOAD512(3*GROUP, Z6, Z7);            \
year:                                    \
	YEAR512;                             \
	VPXORD Z8, Z8, Z8;                   \
	VPXORD Z9, Z9, Z9;                   \
	VPXORD Z10, Z10, Z10;                \
	VPXORD Z11, Z11, Z11;                \
	VPBROADCASTD AX, Z12;                \
	VMOVDQA32 Z12, Z13;                  \
	VMOVDQA32 Z12, Z14;                  \
	VMOVDQA32 Z12, Z15;                  \
event:                                   \
	NEXT512;                             \
	EVENT512(Z0, Z1, Z8, Z12, Z24, Z25); \
	EVENT512(Z2, Z3, Z9, Z13, Z26, Z27); \
	EVENT512(Z4, Z5, Z10, Z14, Z28, Z29); \
	EVENT512(Z6, Z7, Z11, Z15, Z30, Z31); \
	STEP;                                \
	JNZ event;                           \
	TALLY512(0, Z8, Z12);                \
	TALLY512(GROUP, Z9, Z13);            \
	TALLY512(2*GROUP, Z10, Z14);         \
	TALLY512(3*GROUP, Z11, Z15);         \
	ADDQ $SPAN, BX;                         \
	DECQ CX;                             \
	JNZ year;                            \
	VMOVDQU32 Z0, HELD(DI);            \
	VMOVDQU32 Z2, HELD+GROUP(DI);      \
	VMOVDQU32 Z4, HELD+2*GROUP(DI);    \
	VMOVDQU32 Z6, HELD+3*GROUP(DI);    \
	VZEROUPPER;                          \
	RET

#define RUN512X1(EVENT512) \
	ARGS;                                \
	CONSTANTS512;                        \
	LOAD512(0, Z0, Z1);                  \
year:                                    \
	YEAR512;                             \
	VPXORD Z8, Z8, Z8;                   \
	VPBROADCASTD AX, Z12;                \
event:                                   \
	NEXT512;                             \
	EVENT512(Z0, Z1, Z8, Z12, Z24, Z25); \
	STEP;                                \
	JNZ event;                           \
	TALLY512(0, Z8, Z12);                \
	ADDQ $SPAN, BX;                         \
	DECQ CX;                             \
	JNZ year;                            \
	VMOVDQU32 Z0, HELD(DI);            \
	VZEROUPPER;                          \
	RET

// func yas512x4(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·yas512x4(SB), NOSPLIT, $0-44
	RUN512X4(YAS512)

// func ybs512x4(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·ybs512x4(SB), NOSPLIT, $0-44
	RUN512X4(YBS512)

// func yas512x1(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·yas512x1(SB), NOSPLIT, $0-44
	RUN512X1(YAS512)

// func ybs512x1(groups *group, list *event, q *int32, years *span, n int, allow int32)
TEXT ·ybs512x1(SB), NOSPLIT, $0-44
	RUN512X1(YBS512)

// func cpuid(leaf, sub uint32) (a, b, c, d uint32)
TEXT ·cpuid(SB), NOSPLIT, $0-24
	MOVL leaf+0(FP), AX
	MOVL sub+4(FP), CX
	CPUID
	MOVL AX, a+8(FP)
	MOVL BX, b+12(FP)
	MOVL CX, c+16(FP)
	MOVL DX, d+20(FP)
	RET

// func xgetbv() uint32
TEXT ·xgetbv(SB), NOSPLIT, $0-4
	XORL CX, CX
	XGETBV
	MOVL AX, ret+0(FP)
	RET
