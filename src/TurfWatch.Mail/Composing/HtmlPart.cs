using System.Text.Encodings.Web;
using System.Text.Unicode;
using Fluid;

namespace TurfWatch.Mail.Composing;

/// <summary>The HTML part: a template filled from the same view as the text part. Everything that is filled in is escaped.</summary>
internal static class HtmlPart
{
    // Letters stay letters (the part is UTF-8); what has a meaning in HTML becomes an entity.
    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);

    private static readonly TemplateOptions Options = MakeOptions();

    private static readonly IFluidTemplate Template = Parse("message.liquid");

    public static string Write(MessageView view) =>
        Template.Render(new TemplateContext(view, Options), Encoder);

    private static TemplateOptions MakeOptions()
    {
        var options = new TemplateOptions();
        options.MemberAccessStrategy.Register<MessageView>();
        options.MemberAccessStrategy.Register<ReasonView>();
        options.MemberAccessStrategy.Register<HourView>();
        options.MemberAccessStrategy.Register<FactView>();
        return options;
    }

    private static IFluidTemplate Parse(string name)
    {
        var assembly = typeof(HtmlPart).Assembly;
        using var stream =
            assembly.GetManifestResourceStream($"TurfWatch.Mail.Composing.{name}")
            ?? throw new InvalidOperationException($"the template {name} is not in the assembly");
        using var reader = new StreamReader(stream);
        return new FluidParser().TryParse(reader.ReadToEnd(), out var template, out var error)
            ? template
            : throw new InvalidOperationException($"the template {name} is faulty: {error}");
    }
}
